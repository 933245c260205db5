"""Sharing a result: a picture, and a text with the same figures."""

from collections.abc import Callable
from pathlib import Path

from PIL import Image
from playwright.sync_api import expect

from browser.phone import Phone
from helpers.server_process import Served

# Pretend that the phone can share files, and store what it was given for the test.
SHARING = """
navigator.canShare = () => true;
navigator.share = async ({ files, text }) => { globalThis.given = [files.map((file) => file.type), text]; };
"""


def test_a_result_is_shared_offline(server: Served, phone: Callable[..., Phone], tmp_path: Path) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.installed()
        app.offline()
        app.keep_test("Col des Lauzes", share=False)
        app.context.grant_permissions(["clipboard-read", "clipboard-write"])
        app.page.get_by_role("button", name="Share as a picture").focus()
        app.page.keyboard.press("Enter")
        picture = app.page.locator(".pass-on img")
        expect(picture).to_be_visible()
        expect(app.page.get_by_role("region", name="Share")).to_be_focused()
        with app.page.expect_download() as saving:
            app.tap("Save the picture")
        saving.value.save_as(tmp_path / "result.png")
        app.tap("Copy the text")
        expect(app.page.get_by_text("Text copied.")).to_be_visible()
        text = app.page.evaluate("navigator.clipboard.readText()")
        assert "Col des Lauzes" in text
        assert "Ethanol content 82.6 ±\u00a01.7\u00a0%" in text
        assert picture.get_attribute("alt") == text
        assert app.faults == []
    with Image.open(tmp_path / "result.png") as drawn:
        assert (drawn.format, drawn.size) == ("PNG", (1080, 1350))
        assert len(drawn.convert("RGB").getcolors(100_000) or []) > 10

    with driver.open(offline=True) as app:
        app.context.add_init_script(SHARING)
        app.go("log")
        app.page.locator("main a.row").first.click()
        app.tap("Share as a picture")
        app.tap("Send picture and text")
        expect(app.page.get_by_text("Shared.")).to_be_visible()
        assert app.page.evaluate("given") == [["image/png"], text]
        assert app.faults == []
