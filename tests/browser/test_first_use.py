"""A newcomer's first test: a new phone, no signal after installing the app, nobody to ask.

What to do next, and what was forgotten, is always on the screen.
"""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Opened, Phone
from browser.taps import Hand
from helpers.server_process import Served

SMALL = {"width": 360, "height": 640}


def install(app: Opened) -> None:
    """Open the app's address, then go offline."""
    app.page.set_viewport_size(SMALL)
    app.page.goto(app.address)
    app.installed()
    app.offline()
    app.page.reload()


SHIFTS = """
window.shifts = [];
new PerformanceObserver((list) => window.shifts.push(...list.getEntries().map((one) => one.value)))
  .observe({ type: "layout-shift", buffered: true });
"""


def test_nothing_jumps_while_the_app_is_opened_for_the_first_time(
    server: Served, new_phone: Callable[[str, str], Phone]
) -> None:
    """Layout Instability (W3C Community Group): the sum of all shifts of a page that nobody has touched."""
    with new_phone("newcomer", server.url).open() as app:
        app.page.set_viewport_size(SMALL)
        app.page.add_init_script(SHIFTS)
        app.page.goto(app.address)
        expect(app.page.get_by_role("heading", level=1)).to_have_text("How to run a test")
        app.installed()
        assert app.page.evaluate("window.shifts") == []


def test_a_newcomer_completes_a_first_test_offline(server: Served, new_phone: Callable[[str, str], Phone]) -> None:
    with new_phone("newcomer", server.url).open() as app:
        install(app)
        page, hand = app.page, Hand(app.page)

        def press(name: str) -> None:
            hand.touch(page.get_by_role("button", name=name))

        def pick(name: str) -> None:
            hand.touch(page.get_by_role("radio", name=name, exact=True).locator(".."))

        # The explanation comes first and leads on to the test.
        expect(page.get_by_role("heading", level=1)).to_have_text("How to run a test")
        hand.touch(page.get_by_text("Start a test"))
        assert hand.swipes == 0

        press("Save this station")
        name = page.get_by_role("textbox", name="Name", exact=True)
        expect(name).to_be_focused()
        expect(name).to_be_in_viewport(ratio=1)
        name.fill("Relais du Sureau noir")
        press("Save this station")
        expect(page.get_by_text("Say where it is.")).to_be_in_viewport(ratio=1)
        pick("I am there")
        expect(page.get_by_text("Found: 45.30")).to_be_visible()
        press("Save this station")

        # The form is gone: the next step and the button below it are on the screen.
        expect(page.get_by_role("radio", name="pump", exact=True)).to_be_in_viewport()
        swipes = hand.swipes
        press("Next")
        expect(page.get_by_text("Choose where the sample was taken from.")).to_be_in_viewport(ratio=1)
        pick("pump")
        press("Next")
        assert hand.swipes == swipes

        expect(page.get_by_text("What is printed on the tube?")).to_be_in_viewport()
        hand.touch(page.get_by_role("radio", name="Millilitres").locator(".."))
        press("Save this tube")
        temperature = page.get_by_role("textbox", name="Water temperature")
        expect(temperature).to_be_in_viewport(ratio=1)
        press("Next")
        expect(temperature).to_be_focused()
        expect(temperature).to_be_in_viewport(ratio=1)
        expect(page.get_by_text("Enter the water temperature.")).to_be_in_viewport()
        temperature.fill("8")
        press("Next")

        swipes = hand.swipes
        press("I have read this")
        press("Both filled")
        press("Done, start the 10-minute timer")
        press("It has settled, skip the timer")
        page.get_by_role("textbox", name="Line reading").fill("88.8")
        press("Use this reading")
        expect(page.get_by_role("region", name="Result")).to_be_in_viewport()
        expect(page.get_by_role("button", name="Start run 2")).to_be_in_viewport()
        assert hand.swipes == swipes
        press("Save and share this test")
        expect(page.get_by_text("The test is on this phone. It is sent as soon as")).to_be_in_viewport(ratio=1)
        assert app.faults == []


def test_a_newcomer_tests_a_can(server: Served, new_phone: Callable[[str, str], Phone]) -> None:
    """A can needs no source, and the app says what is missing."""
    with new_phone("newcomer", server.url).open() as app:
        install(app)
        app.go("fuel/can/new")
        expect(app.page.get_by_role("button", name="Add a station")).to_be_visible()
        expect(app.page.get_by_role("button", name="Save this station")).to_have_count(0)
        app.tap("Save this can")
        volume = app.page.get_by_role("textbox", name="In the can now")
        expect(volume).to_be_focused()
        expect(volume).to_be_in_viewport(ratio=1)
        expect(app.page.get_by_text("Enter how much is in the can.")).to_be_visible()
        volume.fill("10")
        app.tap("Save this can")
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Fuel")
        expect(app.page.locator("main a.row")).to_contain_text("Can 1")
        assert app.faults == []
