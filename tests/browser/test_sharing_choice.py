"""Sharing is decided once, both answers are equally easy, and the choice persists; a photo can be left out."""

import json
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import expect

from browser import stock
from browser.phone import Phone, until
from helpers.server_process import Served

Phones = Callable[[str, str], Phone]


def pulled(server: Served) -> list[dict[str, Any]]:
    """The tests on the server."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        return [change for change in json.load(answer)["changes"] if change["kind"] == "test"]


def test_the_first_answer_persists_and_a_photo_can_be_left_out(server: Served, phone: Phones, tmp_path: Path) -> None:
    photo = tmp_path / "tube.jpg"
    Image.linear_gradient("L").convert("RGB").save(photo)
    with phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        app.offline()
        app.begin_test()
        app.read_line("88.8", photo)
        decision = app.page.get_by_role("region", name="Share your tests?")
        answers = decision.get_by_role("button")
        expect(answers).to_have_text(["Save and share this test", "Save this test"])
        expect(app.page.get_by_label("Share this test")).to_have_count(0)
        looks = answers.evaluate_all("all => all.map((one) => [one.className, one.offsetWidth, one.offsetHeight])")
        assert looks[0] == looks[1]
        assert "main" not in looks[0][0]
        app.page.get_by_role("checkbox", name="Share photo 1").uncheck()
        app.bring(answers.last)
        app.picture("share-ask")
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        app.offline(offline=False)
        app.page.evaluate("dispatchEvent(new Event('online'))")
        until(lambda: len(pulled(server)) == 1 and stock.count(app.page, "outbox") == 0)
        (change,) = pulled(server)
        (row,) = stock.rows(app.page, "own_tests")
        (picture,) = stock.rows(app.page, "photos")
        assert row["sync"]["state"] == "sent"
        assert change["record"]["photos"] == []
        assert row["test"]["photos"] == [picture["digest"]]
        assert picture["state"] == "private"

        # The next test starts with this answer; the settings can change it.
        app.go("settings")
        expect(app.page.get_by_role("radio", name="shared")).to_be_checked()
        app.choose("on this phone only")
        app.written()
        app.go()

        app.choose("Col des Lauzes")
        app.tap("Next")
        app.measure_water("20")
        app.tap("I have read this")
        app.fill_and_shake()
        app.read_line("88.4")
        expect(app.page.get_by_label("Share this test")).not_to_be_checked()
        expect(decision).to_have_count(0)
        app.tap("Save this test")
        expect(app.page.get_by_text("The test is on this phone and stays there.")).to_be_visible()
        assert app.faults == []
