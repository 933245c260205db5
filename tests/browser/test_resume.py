"""A phone that dies during a test: the sheet reopens where it was, and an unconfirmed line gives no result."""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Phone
from helpers.server_process import Served


def test_an_unconfirmed_line_gives_no_result(server: Served, phone: Callable[[str, str], Phone]) -> None:
    held = phone("driver", server.url)
    with held.open() as app:
        app.go()
        app.begin_test()
        app.tap("It has settled, skip the timer")
        # The driver would wait for an aria-disabled button; a thumb does not.
        app.page.get_by_role("button", name="Use this reading").click(force=True)
        expect(app.page.get_by_role("alert")).to_contain_text("Read the line first")
        expect(app.page.get_by_role("textbox", name="Line reading")).to_be_focused()
        app.enter("Line reading", "88.8")
        app.written()
    with held.open() as app:
        app.go()
        line = app.page.get_by_role("textbox", name="Line reading")
        expect(line).to_have_value("88.8")
        expect(app.page.get_by_role("heading", name="Result")).to_have_count(0)
        expect(app.page.get_by_role("button", name="Save and share this test")).to_have_count(0)
        app.tap("Use this reading")
        expect(app.page.get_by_role("heading", name="Result")).to_be_visible()
        app.picture("under-way-result")
        assert app.faults == []


def test_the_sheet_reopens_at_the_stage_in_progress(server: Served, phone: Callable[[str, str], Phone]) -> None:
    held = phone("driver", server.url)
    with held.open() as app:
        app.go()
        app.add_source_here("Col des Lauzes")
        app.choose("Millilitres")
        app.tap("Save this tube")
        app.enter("Water temperature", "12")
        app.written()
    with held.open() as app:
        app.go()
        expect(app.page.get_by_role("textbox", name="Water temperature")).to_have_value("12")
        app.tap("Next")
        expect(app.page.get_by_role("button", name="I have read this")).to_be_visible()
        assert app.faults == []


def test_the_timer_can_be_skipped_with_one_tap(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.go()
        app.add_source_here("Col des Lauzes")
        app.add_tube("20")
        app.tap("I have read this")
        app.tap("Both filled")
        app.tap("Done, no timer")
        expect(app.page.get_by_role("textbox", name="Line reading")).to_be_visible()
