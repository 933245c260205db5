"""A saved test with a wrong reading: corrected, sent again, and shown corrected on another phone."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest
from PIL import Image
from playwright.sync_api import expect

from browser import stock
from browser.phone import Opened, Phone, until
from helpers.server_process import Served

Phones = Callable[[str, str], Phone]


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A small picture."""
    path = tmp_path / "tube.jpg"
    Image.linear_gradient("L").convert("RGB").save(path)
    return path


def pulled(server: Served) -> dict[str, Any]:
    """Return the newest test on the server."""
    changes = httpx.get(f"{server.url}/api/v1/pull", timeout=60).json()["changes"]
    return next(change for change in reversed(changes) if change["kind"] == "test")


def sent(app: Opened) -> bool:
    """Whether the phone's outbox is empty."""
    waiting = [one for one in stock.rows(app.page, "photos") if one["state"] == "waiting"]
    return stock.count(app.page, "outbox") == 0 and not waiting


def change(app: Opened, stage: str) -> None:
    """Open a filled stage of the sheet."""
    app.page.get_by_role("button", name=re.compile(f"Change.*{stage}")).first.click()


def test_a_corrected_reading_reaches_the_server_and_other_phones(server: Served, phone: Phones, photo: Path) -> None:
    with phone("friend", server.url).open() as friend, phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        app.keep_test(photo=photo)
        until(lambda: sent(app))
        former = pulled(server)["figures"]["content"]
        # Another test is in progress; its draft must not be lost.
        app.tap("New test")
        app.choose("Col des Lauzes")
        app.tap("Next")
        app.measure_water("20")
        app.tap("I have read this")
        app.fill_and_shake()
        app.written()

        app.go("log")
        app.page.locator("main a.row").first.click()
        app.tap("Correct this test")
        expect(app.page.get_by_role("heading", name="Correct a saved test")).to_be_visible()
        app.picture("correct-sheet")
        change(app, "Read the line")
        app.enter("Line reading", "86.4")
        app.tap("Use this reading")
        change(app, "Station")
        app.tap("Add a station")
        app.enter("Name", "Pas des Genets")
        app.choose("I am there")
        expect(app.page.get_by_role("status").filter(has_text="45.30")).to_be_visible()
        app.tap("Save this station")
        app.tap("Next")
        # Left halfway, it can be continued.
        app.tap("Not now")
        app.tap("Continue the correction")
        app.offline()
        app.bring(app.page.get_by_role("button", name="Save the correction"))
        app.picture("correct-end")
        app.tap("Save the correction")
        expect(app.page.get_by_text("Revision 1:")).to_be_visible()
        expect(app.page.get_by_text(re.compile("^Replaced "))).to_be_visible()
        app.bring(app.page.get_by_text("Revision 1:"))
        app.picture("correct-page")
        app.offline(offline=False)
        app.page.evaluate("dispatchEvent(new Event('online'))")
        until(lambda: pulled(server)["revision"] == 2 and sent(app))
        until(lambda: stock.rows(app.page, "own_tests")[0]["sync"]["state"] in ("sent", "held"))
        (row,) = stock.rows(app.page, "own_tests")
        answer = pulled(server)
        assert row["sync"]["problems"] == []
        assert answer["record"]["runs"][0]["line"] == 86.4
        assert answer["figures"]["content"] == pytest.approx(row["test"]["content"], abs=0.05)
        assert answer["figures"]["content"] < former - 2
        assert answer["record"]["photos"] == row["earlier"][0]["photos"] != []
        (sheet,) = stock.rows(app.page, "drafts")
        assert sheet["id"] != row["id"]
        assert app.faults == []

        friend.go()
        friend.tap("Log", exact=True)
        friend.tap("Sync now")
        until(lambda: stock.count(friend.page, "pulled_tests") == 1)
        (seen,) = stock.rows(friend.page, "pulled_tests")
        assert (seen["revision"], seen["test"]["runs"][0]["line"]) == (2, 86.4)
        assert seen["source"] == row["source"]
