"""Somebody's first test: a fresh phone, no signal after the app is installed, nobody to ask.

What has to be done next, and what was forgotten, is always on the screen.
"""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Opened, Phone
from browser.taps import Hand
from serving import Served

SMALL = {"width": 360, "height": 640}


def install(app: Opened) -> None:
    """Open the address that somebody was told, and walk away from the signal."""
    app.page.set_viewport_size(SMALL)
    app.page.goto(app.address)
    app.installed()
    app.offline()
    app.page.reload()


def test_the_first_test(server: Served, new_phone: Callable[[str, str], Phone]) -> None:
    with new_phone("newcomer", server.url).open() as app:
        install(app)
        page, hand = app.page, Hand(app.page)

        def press(name: str) -> None:
            hand.touch(page.get_by_role("button", name=name))

        def pick(name: str) -> None:
            hand.touch(page.get_by_role("radio", name=name, exact=True).locator(".."))

        # It is explained first, and goes on from there.
        expect(page.get_by_role("heading", level=1)).to_have_text("How a test is made")
        hand.touch(page.get_by_text("To the run sheet"))
        assert hand.swipes == 0

        press("Keep this source")
        name = page.get_by_role("textbox", name="Name", exact=True)
        expect(name).to_be_focused()
        expect(name).to_be_in_viewport(ratio=1)
        name.fill("Relais du Sureau noir")
        press("Keep this source")
        expect(page.get_by_text("Choose how the position is given.")).to_be_in_viewport(ratio=1)
        pick("I am there")
        expect(page.get_by_text("Found: 45.30")).to_be_visible()
        press("Keep this source")

        # The form is gone: what comes next stands on the screen, the button below it too.
        expect(page.get_by_role("radio", name="pump", exact=True)).to_be_in_viewport()
        swipes = hand.swipes
        press("Go on")
        expect(page.get_by_text("Choose where the sample was taken from.")).to_be_in_viewport(ratio=1)
        pick("pump")
        press("Go on")
        assert hand.swipes == swipes

        expect(page.get_by_text("What is printed on the tube?")).to_be_in_viewport()
        hand.touch(page.get_by_role("radio", name="Millilitres").locator(".."))
        press("Keep this tube")
        temperature = page.get_by_role("textbox", name="Temperature of the water")
        expect(temperature).to_be_in_viewport(ratio=1)
        press("Go on")
        expect(temperature).to_be_focused()
        expect(temperature).to_be_in_viewport(ratio=1)
        expect(page.get_by_text("Enter the temperature of the water.")).to_be_in_viewport()
        temperature.fill("8")
        press("Go on")

        swipes = hand.swipes
        press("I have read this")
        press("Both are in")
        press("Done: start the 10 minutes")
        press("It has settled, go on")
        page.get_by_role("textbox", name="The line stands at").fill("88.8")
        press("This is the reading")
        expect(page.get_by_role("region", name="Result")).to_be_in_viewport()
        expect(page.get_by_role("button", name="Start run 2")).to_be_in_viewport()
        assert hand.swipes == swipes
        press("Keep and share this test")
        expect(page.get_by_text("The test is on this phone. It is sent as soon as")).to_be_in_viewport(ratio=1)
        assert app.faults == []


def test_the_first_can(server: Served, new_phone: Callable[[str, str], Phone]) -> None:
    """Nobody has to add a source for it, and what is missing is said."""
    with new_phone("newcomer", server.url).open() as app:
        install(app)
        app.go("fuel/can/new")
        expect(app.page.get_by_role("button", name="Add a source")).to_be_visible()
        expect(app.page.get_by_role("button", name="Keep this source")).to_have_count(0)
        app.tap("Keep this can")
        volume = app.page.get_by_role("textbox", name="In it now")
        expect(volume).to_be_focused()
        expect(volume).to_be_in_viewport(ratio=1)
        expect(app.page.get_by_text("Enter how much is in the can.")).to_be_visible()
        volume.fill("10")
        app.tap("Keep this can")
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Fuel")
        expect(app.page.locator("main a.row")).to_contain_text("Can 1")
        assert app.faults == []
