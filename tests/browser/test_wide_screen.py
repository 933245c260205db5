"""On a wide screen the list and the chosen item are side by side; addresses and Back work as on a phone."""

from collections.abc import Callable

from playwright.sync_api import Locator, Page, expect

from browser.phone import Opened, Phone, until
from helpers.server_process import Served

PhoneOf = Callable[[str, str], Phone]
WIDE = {"width": 1280, "height": 800}
NARROW = {"width": 360, "height": 800}


def size(app: Opened, screen: dict[str, int]) -> None:
    """Set the screen size."""
    app.page.set_viewport_size(screen)  # type: ignore[arg-type]


def panes(page: Page) -> tuple[Locator, Locator]:
    """The list pane and the page pane."""
    return page.locator(".pane-list"), page.locator(".pane-page")


def beside(page: Page) -> None:
    """Check that the page is to the right of the list, both are visible, and nothing scrolls sideways."""
    boxes = [one.bounding_box() for one in panes(page)]
    assert boxes[0]
    assert boxes[1]
    assert boxes[0]["x"] + boxes[0]["width"] <= boxes[1]["x"]
    assert boxes[1]["x"] + boxes[1]["width"] <= WIDE["width"]
    assert boxes[1]["y"] < WIDE["height"]
    assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")


def test_a_source_opens_beside_the_list(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        app.go("sources")
        size(app, WIDE)
        listed, shown = panes(app.page)
        rows = listed.locator("a.row")
        expect(rows).to_have_count(14)
        expect(app.page.get_by_text("Choose from the list")).to_be_visible()
        app.picture("wide-sources")
        listed.get_by_text("Search and sort").click()
        listed.get_by_role("searchbox").fill("r")
        until(lambda: 3 < rows.count() < 14)
        few = rows.count()
        names = [rows.nth(at).locator(".row-name").inner_text() for at in (0, 3)]

        # By name, since new figures may re-sort the list.
        for name in names:
            listed.get_by_role("link", name=name).click()
            expect(shown.get_by_role("heading", level=1)).to_have_text(name)
            expect(listed.locator("a.row[aria-current]")).to_have_count(1)
            expect(listed.locator("a.row[aria-current]")).to_contain_text(name)
            expect(shown).to_be_focused()
            assert "#/source/" in app.page.url
            beside(app.page)
        # The search text is still there.
        expect(listed.get_by_role("searchbox")).to_have_value("r")
        expect(rows).to_have_count(few)
        expect(shown.locator(".chart circle").first).to_be_visible()
        app.picture("wide-source")

        app.page.go_back()
        expect(shown.get_by_role("heading", level=1)).to_have_text(names[0])
        app.page.go_back()
        expect(shown).to_have_count(0)
        expect(rows).to_have_count(few)
        assert app.page.url.endswith("#/sources")
        app.page.go_forward()
        expect(shown.get_by_role("heading", level=1)).to_have_text(names[0])

        # On a phone the same address shows only the page; reloaded on the wide screen it shows both.
        size(app, NARROW)
        expect(app.page.get_by_role("heading", level=1)).to_have_text(names[0])
        expect(app.page.locator("a.row .tube")).to_have_count(0)
        size(app, WIDE)
        app.reload()
        expect(rows).to_have_count(14)
        expect(shown.get_by_role("heading", level=1)).to_have_text(names[0])
        assert app.faults == []


def test_typed_text_survives_rotating_the_tablet(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        app.go("source/new")
        for screen in (WIDE, NARROW, WIDE):
            app.enter("Name", f"Station {screen['width']}")
            size(app, NARROW if screen is WIDE else WIDE)
            expect(app.page.get_by_role("textbox", name="Name", exact=True)).to_have_value(f"Station {screen['width']}")
        assert app.faults == []


def test_tests_tubes_and_cans_open_beside_their_lists(server: Served, phone: PhoneOf) -> None:
    with phone("driver", server.url).open() as app:
        app.keep_test()
        size(app, WIDE)
        app.page.get_by_role("link", name="Log", exact=True).click()
        listed, shown = panes(app.page)
        listed.locator("a.row").first.click()
        expect(shown.get_by_role("heading", level=1)).to_be_visible()
        beside(app.page)
        app.picture("wide-log")
        listed.get_by_text("Tubes, settings and files").click()
        listed.get_by_role("link", name="Tubes").click()
        expect(shown).to_have_count(0)
        listed.locator("a.row").first.click()
        expect(shown.get_by_role("heading", name="Tube details")).to_be_visible()
        beside(app.page)
        app.picture("wide-tube")

        app.page.get_by_role("link", name="Fuel", exact=True).click()
        expect(app.page.get_by_role("heading", name="Tank")).to_be_visible()
        app.picture("wide-fuel")
        listed.get_by_role("link", name="Add a can").click()
        app.enter("In the can now", "10")
        shown.get_by_role("button", name="Save this can").click()
        expect(shown).to_have_count(0)
        listed.get_by_role("link", name="Can 1").click()
        expect(shown.get_by_role("heading", level=1)).to_have_text("Can 1")
        beside(app.page)
        app.picture("wide-can")
        assert app.faults == []
