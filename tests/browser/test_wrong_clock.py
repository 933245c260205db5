"""A phone whose clock is two years off, and one set during settling: reported, corrected, nothing lost."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest
from playwright.sync_api import expect

from browser import stock
from browser.phone import Opened, Phone, until
from helpers.server_process import Served

Phones = Callable[..., Phone]
YEARS = timedelta(days=730)
# A few of the ten minutes, on a machine of any speed.
SETTLING = re.compile(r"^(10:00|[6-9]:\d\d)")
# Runs before the page's scripts: shifts the clock by the last setting, even after a browser restart.
CLOCK = """(() => {
  const Right = Date;
  let off = Number(globalThis.localStorage?.getItem("clock of the test") ?? 0);
  globalThis.setClock = (by) => {
    off = by;
    localStorage.setItem("clock of the test", String(by));
  };
  globalThis.Date = class extends Right {
    constructor(...given) {
      if (given.length > 0) super(...given);
      else super(Right.now() + off);
    }
    static now() {
      return Right.now() + off;
    }
  };
})();"""


def set_clock(app: Opened, by: timedelta) -> None:
    """Set the phone's clock, as the network or a person would."""
    app.page.evaluate("(by) => setClock(by)", by.total_seconds() * 1000)


def go_and_set_clock(app: Opened, place: str, by: timedelta) -> None:
    """Set the clock after navigation starts and before the new screen is drawn."""
    app.page.evaluate(
        "([hash, by]) => { location.hash = hash; setClock(by); }", [f"#/{place}", by.total_seconds() * 1000]
    )


def opened(app: Opened) -> Opened:
    """Give the page an adjustable clock."""
    app.page.add_init_script(CLOCK)
    app.go()
    return app


def pulled(server: Served) -> dict[str, Any]:
    """Return the newest change of each record on the server."""
    changes = httpx.get(f"{server.url}/api/v1/pull", timeout=60).json()["changes"]
    return {change["kind"]: change for change in changes}


def hours_from_now(time: str) -> float:
    """Return the difference between a time and now, hours."""
    return abs((datetime.fromisoformat(time) - datetime.now(UTC)).total_seconds()) / 3600


def all_sent(app: Opened) -> bool:
    """Whether the outbox is empty."""
    return stock.count(app.page, "outbox") == 0


def exchange(app: Opened) -> None:
    """Exchange with the server now."""
    app.page.evaluate("dispatchEvent(new Event('online'))")


@pytest.mark.parametrize(
    ("by", "said", "act"),
    [
        (-YEARS, "clock is 730 days behind the server's", "Move both 730 days later"),
        (YEARS, "clock is 730 days ahead of the server's", "Move both 730 days earlier"),
    ],
    ids=["behind", "ahead"],
)
def test_a_wrong_clock_is_reported_and_its_test_corrected(
    server: Served, phone: Phones, by: timedelta, said: str, act: str
) -> None:
    way = act.split()[-1]
    with phone("driver", server.url).open() as app:
        opened(app)
        set_clock(app, by)
        app.page.reload()
        notice = app.page.get_by_role("main").get_by_role("status").filter(has_text=said)
        expect(notice).to_be_visible()
        app.picture(f"clock-{way}-sheet")
        app.keep_test()
        expect(notice).to_be_visible()
        # A test two years behind is stored, one two years ahead refused with its source; the phone knows both.
        until(lambda: stock.rows(app.page, "own_tests")[0].get("clock_behind") is not None)
        app.tap("See it in the log")
        app.tap(act)
        app.picture(f"clock-{way}-log")
        app.tap("Save the times")
        expect(app.page.get_by_role("button", name=act)).to_have_count(0)
        exchange(app)
        until(lambda: all_sent(app))
        (row,) = stock.rows(app.page, "own_tests")
        assert row["test"]["revision"] == 2
        assert len(row["earlier"]) == 1
        assert app.faults == []
    # Everyone else sees only the day, at noon.
    for record, hours in ((row["test"], 1), (pulled(server)["test"]["record"], 24)):
        assert hours_from_now(record["sampled_at"]) < hours
        assert hours_from_now(record["tested_at"]) < hours


def test_the_warning_disappears_when_the_clock_is_set(server: Served, phone: Phones) -> None:
    with phone("driver", server.url, "fr-FR").open() as app:
        opened(app)
        set_clock(app, -timedelta(hours=3))
        app.page.reload()
        notice = app.page.get_by_text("retarde de 3 heures sur celle du serveur")
        expect(notice).to_be_visible()
        set_clock(app, timedelta())
        exchange(app)
        expect(notice).to_have_count(0)
        assert app.faults == []


def test_setting_the_clock_does_not_disturb_the_settling_timer(server: Served, phone: Phones) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        opened(app)
        app.begin_test()
        timer = app.page.get_by_role("timer", name="Settling time")
        expect(timer).to_have_text(SETTLING)
        # By the network, once connected: two years forward, and back again.
        for by in (YEARS, -YEARS):
            set_clock(app, by)
            app.page.wait_for_timeout(2500)
            expect(timer).to_have_text(SETTLING)
        # While leaving a screen, on the next one, and while coming back.
        go_and_set_clock(app, "log", YEARS)
        app.page.wait_for_timeout(2500)
        strip = app.page.get_by_role("complementary", name="Tubes settling").get_by_role("timer")
        expect(strip).to_have_text(SETTLING)
        set_clock(app, -YEARS)
        app.page.wait_for_timeout(2500)
        expect(strip).to_have_text(SETTLING)
        go_and_set_clock(app, "test", YEARS)
        app.page.wait_for_timeout(2500)
        expect(timer).to_have_text(SETTLING)
        assert app.faults == []
        set_clock(app, timedelta())
    # Killed and reopened with the clock set back: the settling time is unknown, so the timer may restart.
    with driver.open() as app:
        opened(app)
        timer = app.page.get_by_role("timer", name="Settling time")
        expect(timer).to_have_text(SETTLING)
        app.read_line("88.8")
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        (row,) = stock.rows(app.page, "own_tests")
        assert hours_from_now(row["test"]["sampled_at"]) < 1
        assert datetime.fromisoformat(row["test"]["sampled_at"]) <= datetime.fromisoformat(row["test"]["tested_at"])
        assert app.faults == []
