"""The demo as a newcomer sees it: ranked, page by page."""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Phone
from helpers.server_process import Served


def test_the_demo_is_ranked_and_marked_as_invented(club: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("visitor", club.url).open() as app:
        app.go("sources")
        notice = app.page.get_by_text("Demo with invented data")
        expect(notice).to_be_visible()
        app.tap("Use my location")
        rows = app.page.locator("main a.row")
        expect(rows.nth(9)).to_be_visible()
        expect(rows.first).to_contain_text("km")
        app.picture("sources")
        app.page.get_by_text("Search and sort").click()
        app.page.get_by_role("radio", name="nearest").check()
        expect(rows.first).to_contain_text("Station du Lac rond")
        rows.first.click()
        expect(app.page.get_by_role("heading", name="Station du Lac rond")).to_be_visible()
        chart = app.page.locator(".chart circle").first
        expect(chart).to_be_visible()
        app.bring(chart)
        app.picture("source")
        for place in ("test", "fuel", "log"):
            app.go(place)
            expect(notice).to_be_visible()
        assert app.faults == []
