"""A phone whose storage fails: reported once, with what to do, and every screen stays usable."""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Phone
from browser.sheet import BROKEN
from helpers.server_process import Served


def test_a_storage_failure_is_reported_once(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.context.add_init_script(BROKEN)
        current = app.page.locator("nav [aria-current=page]")
        for address, place in (("sources", "Stations"), ("fuel", "Fuel"), ("log", "Log"), ("test", "Test")):
            app.page.goto(f"{app.address}/#/{address}")
            expect(current).to_have_text(place)
            expect(app.page.get_by_role("heading", name="This page stopped working")).to_be_visible()
            expect(app.page.locator(".banner")).to_have_count(1)
            expect(app.page.locator(".banner")).to_contain_text("This phone's storage is not responding.")
        # Screens that need no storage still work, such as the explanation of a test.
        app.page.goto(f"{app.address}/#/method")
        expect(app.page.get_by_role("heading", name="How to run a test")).to_be_visible()
        expect(current).to_have_text("Test")
