"""A source's figures are computed in a worker thread, on a phone without a signal."""

from collections.abc import Callable

from browser import stock
from browser.phone import Phone, until
from helpers.server_process import Served


def test_figures_are_computed_in_a_worker_thread(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        app.offline()
        app.keep_test()
        until(lambda: stock.rows(app.page, "figures")[0]["figures"] is not None)
        assert ["/assets/worker-" in one.url for one in app.page.workers] == [True]
        (row,) = stock.rows(app.page, "figures")
        assert row["figures"]["tests"] == 1
        assert app.faults == []
