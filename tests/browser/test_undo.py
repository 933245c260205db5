"""A removal can be undone completely for some seconds, also by keyboard."""

from collections.abc import Callable
from pathlib import Path

from PIL import Image
from playwright.sync_api import expect

from browser import stock
from browser.phone import Opened, Phone, until
from helpers.server_process import Served

Phones = Callable[[str, str], Phone]


def undo(app: Opened, said: str) -> None:
    """Undo the last removal by keyboard."""
    bar = app.page.get_by_role("status").filter(has_text=said)
    expect(bar).to_be_visible()
    expect(app.page.get_by_role("dialog")).to_have_count(0)
    bar.get_by_role("button", name="Undo").focus()
    app.page.keyboard.press("Enter")
    expect(bar).to_have_count(0)


def test_a_removal_can_be_undone(server: Served, phone: Phones, tmp_path: Path) -> None:
    photo = tmp_path / "tube.jpg"
    Image.linear_gradient("L").convert("RGB").save(photo)
    with phone("driver", server.url).open() as app:
        app.go()
        app.begin_test()
        app.read_line("88.8", photo)
        app.written()
        sheet, pictures = stock.rows(app.page, "drafts"), stock.rows(app.page, "photos")
        app.tap("Discard this test")
        expect(app.page.get_by_role("region", name="Result")).to_have_count(0)
        app.picture("undo-sheet")
        undo(app, "Test discarded.")
        expect(app.page.get_by_role("region", name="Result")).to_be_visible()
        app.written()
        assert stock.rows(app.page, "drafts") == sheet
        assert len(stock.rows(app.page, "photos")) == len(pictures) == 1

        app.page.get_by_role("button", name="Remove", exact=False).first.click()
        undo(app, "Run 1 removed.")
        until(lambda: stock.rows(app.page, "drafts") == sheet)
        assert len(stock.rows(app.page, "photos")) == 1

        app.decide(share=False)
        app.go("log")
        app.page.locator("main a.row").first.click()
        app.tap("Delete this test")
        expect(app.page.get_by_role("heading", name="Log", exact=True)).to_be_visible()
        assert stock.rows(app.page, "own_tests")[0]["retracted"]
        undo(app, "Test deleted.")
        until(lambda: not stock.rows(app.page, "own_tests")[0]["retracted"])

        app.page.locator("main a.row").first.click()
        app.tap("Delete this test")
        gone = app.page.get_by_role("button", name="Undo")
        expect(gone).to_be_visible()
        # Untouched, the offer disappears by itself.
        expect(gone).to_have_count(0)
        assert app.faults == []
