"""Sending over a bad connection: everything arrives once and in order."""

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from browser import stock
from browser.phone import Opened, Phone, until
from browser.proxy import Middleman, Passing, between
from helpers.server_process import Served

OFFLINE = "no answer from the server"
PATIENCE = 120
MOST_RECORDS = 500
Phones = Callable[[str, str], Phone]


@pytest.fixture
def line(server: Served) -> Iterator[Middleman]:
    """A proxy to the server that a test can disturb."""
    with between(server.url) as opened:
        yield opened


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A small picture."""
    path = tmp_path / "tube.jpg"
    Image.linear_gradient("L").convert("RGB").save(path)
    return path


def stored(line: Middleman) -> list[dict[str, Any]]:
    """Return everything the server has, asked without the proxy."""
    changes: list[dict[str, Any]] = []
    path = "/api/v1/pull?limit=500"
    while True:
        page = line.fetch("GET", path, {}, b"").answer()
        changes += page["changes"]
        if not page["more"]:
            return changes
        path = f"/api/v1/pull?limit=500&cursor={page['cursor']}"


def sent(line: Middleman) -> Counter[str]:
    """Return how often each record was sent."""
    return Counter(record["id"] for push in line.pushes() for record in push.records())


def online(app: Opened) -> None:
    """Make the phone believe that it is online again."""
    app.page.evaluate("dispatchEvent(new Event('online'))")


def all_answered(app: Opened) -> bool:
    """Whether the phone's outbox is empty."""
    waiting = [one for one in stock.rows(app.page, "photos") if one["state"] == "waiting"]
    return stock.count(app.page, "outbox") == 0 and not waiting


def test_everything_is_sent_once_after_a_day_without_the_server(line: Middleman, phone: Phones, photo: Path) -> None:
    driver = phone("driver", line.url)
    with driver.open() as app:
        app.go()
        app.installed()
        line.away = True
        app.keep_test(photo=photo)
        stock.repeat_newest(app.page, 1999)
        before = len(line.passed)
        online(app)
        until(lambda: OFFLINE in app.standing(), PATIENCE)
    with driver.open() as app:
        app.go("log")
        # Between two attempts: during one the line says something else.
        until(lambda: all(one in app.standing() for one in ("2001 records not sent yet", OFFLINE)), PATIENCE)
        assert len(line.passed) == before
        assert stock.count(app.page, "outbox") == 2001
        line.away = False
        online(app)
        until(lambda: all_answered(app), PATIENCE)
        assert app.faults == []
    records = sent(line)
    assert len(records) == 2001
    assert set(records.values()) == {1}
    assert [len(push.records()) for push in line.pushes()] == [MOST_RECORDS] * 4 + [1]
    kinds = [record["kind"] for push in line.pushes() for record in push.records()]
    assert kinds == ["source"] + ["test"] * 2000
    ways = [one.method for one in line.passed if one.method in ("POST", "PUT")]
    assert ways == ["POST"] * 5 + ["PUT"]
    assert Counter(change["id"] for change in stored(line)) == records


def test_truncated_answers_are_requested_again(line: Middleman, phone: Phones, photo: Path) -> None:
    cut: list[str] = []

    def spoil(passing: Passing) -> None:
        kind = passing.path.split("?")[0][:15]
        # Weights and outlines do not matter here: they are requested again with the next exchange.
        is_light = kind in ("/api/v1/contrib", "/api/v1/regions")
        if passing.path.startswith("/api/v1/") and not is_light and kind not in cut:
            cut.append(kind)
            passing.cut = len(passing.body) // 2

    with phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        app.keep_test(photo=photo, share=False)
        line.change = spoil
        app.share_newest()
        for times in (1, 2, 3):
            until(lambda times=times: len(cut) == times, PATIENCE)
            until(lambda: OFFLINE in app.standing(), PATIENCE)
            assert not all_answered(app)
            online(app)
        until(lambda: all_answered(app), PATIENCE)
        until(lambda: "no answer" not in app.standing(), PATIENCE)
        (test,) = stock.rows(app.page, "own_tests")
        assert test["sync"]["state"] == "sent"
        assert app.faults == []
    assert cut == ["/api/v1/push", "/api/v1/pull", "/api/v1/photos/"]
    assert sorted(change["kind"] for change in stored(line)) == ["source", "test"]
    assert set(sent(line).values()) == {2}


def test_only_one_of_two_tabs_sends(line: Middleman, phone: Phones) -> None:
    with phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        line.away = True
        app.keep_test()
        stock.repeat_newest(app.page, 599)
        other = app.another_tab("log")
        line.away = False
        for tab in (app, other):
            online(tab)
        until(lambda: all_answered(app), PATIENCE)
        until(lambda: "not sent" not in other.standing(), PATIENCE)
        assert app.faults + other.faults == []
    assert len(sent(line)) == 601
    assert set(sent(line).values()) == {1}
    assert len(stored(line)) == 601
