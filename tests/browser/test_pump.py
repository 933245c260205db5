"""A person at a pump: 360 x 800, no signal, cold fuel, sun on the screen, one thumb, a phone that dies."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import expect

from browser.phone import Opened, Phone
from browser.taps import COUNTER, Count, Hand
from serving import Served

SOURCE = "Relais du Sureau noir"
MOST_TAPS = 25
MINUTE = 60_000


@contextmanager
def at_the_pump(driver: Phone) -> Iterator[Opened]:
    """The phone of somebody who has tested before, without a signal, in sunlight mode."""
    with driver.open() as app:
        app.go()
        app.installed()
        app.offline()
        app.add_source_here(SOURCE)
        app.add_tube("8")
        app.tap("I have read this")
        app.fill_and_shake()
        app.read_line("88.8")
        app.tap("Keep and share this test")
        app.go("settings")
        app.choose("sunlight")
        app.written()
    with driver.open(offline=True) as app:
        app.page.clock.install()
        app.context.add_init_script(COUNTER)
        app.go()
        yield app


def begin(app: Opened, hand: Hand) -> None:
    """Source, what was sampled, tube, temperature, cautions: all offered from last time."""
    hand.touch(app.page.get_by_role("radio", name=SOURCE).locator(".."))
    expect(app.page.get_by_role("radio", name="pump", exact=True)).to_be_checked()
    hand.touch(app.page.get_by_role("button", name="Go on"))
    hand.touch(app.page.get_by_role("textbox", name="Temperature in the tube"))
    hand.press("4")
    hand.touch(app.page.get_by_role("radio", name="measured").locator(".."))
    hand.touch(app.page.get_by_role("button", name="Go on"))
    hand.touch(app.page.get_by_role("button", name="I have read this"))


def run(app: Opened, hand: Hand, read: Callable[[], None]) -> None:
    """Fill, turn over, settle, read."""
    hand.touch(app.page.get_by_role("button", name="Both are in"))
    hand.touch(app.page.get_by_role("button", name="Done: start the 10 minutes"))
    expect(app.page.get_by_role("timer")).to_have_count(1)
    app.page.clock.fast_forward(10 * MINUTE + 1000)
    expect(app.page.get_by_role("textbox", name="The line stands at")).to_be_visible()
    read()


def test_two_runs_with_the_keypad(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with at_the_pump(phone("driver", server.url)) as app:
        hand = Hand(app.page)

        def typed() -> None:
            hand.touch(app.page.get_by_role("textbox", name="The line stands at"))
            hand.press("88.5")
            app.page.keyboard.press("Enter")

        counted = whole_test(app, hand, typed)
        assert counted.keys == 1 + 2 * 5
        assert app.faults == []


def test_two_runs_with_the_thumb_alone(server: Served, phone: Callable[[str, str], Phone]) -> None:
    """The line is dragged to, then set to half a graduation with plus and minus."""
    with at_the_pump(phone("driver", server.url)) as app:
        hand = Hand(app.page)

        def dragged() -> None:
            tube = app.page.locator(".line-tube")
            tube.scroll_into_view_if_needed()
            box = tube.bounding_box()
            assert box
            x, top = box["x"] + box["width"] / 3, box["y"]
            app.page.mouse.move(x, top + 0.5 * box["height"])
            app.page.mouse.down()
            app.page.mouse.move(x, top + 0.155 * box["height"], steps=6)
            app.page.mouse.up()
            hand.touch(app.page.get_by_role("button", name="The line stands at: more"))
            hand.touch(app.page.get_by_role("button", name="The line stands at: more"))
            hand.touch(app.page.get_by_role("button", name="This is the reading"))

        counted = whole_test(app, hand, dragged)
        assert counted.keys == 1
        assert app.faults == []


def whole_test(app: Opened, hand: Hand, read: Callable[[], None]) -> Count:
    """From the open app to the kept test; the taps are printed and held to their limit."""
    begin(app, hand)
    run(app, hand, read)
    hand.touch(app.page.get_by_role("button", name="Start run 2"))
    run(app, hand, read)
    hand.touch(app.page.get_by_role("button", name="Keep and share this test"))
    expect(app.page.get_by_text("The test is on this phone.")).to_be_visible()
    counted = hand.count()
    print(f"\n{counted.taps} taps: {counted.touches} touches and {counted.keys} keys; {counted.swipes} swipes beside")
    assert counted.taps <= MOST_TAPS
    return counted


def test_two_tubes_settle_side_by_side(server: Served, phone: Callable[[str, str], Phone]) -> None:
    """Each with its own clock, right after a sleep and after a kill; the first one ready is read first."""
    driver = phone("driver", server.url)
    with at_the_pump(driver) as app:
        hand = Hand(app.page)
        start = app.page.evaluate("Date.now()")
        begin(app, hand)
        hand.touch(app.page.get_by_role("button", name="Both are in"))
        hand.touch(app.page.get_by_role("button", name="Done: start"))
        app.page.clock.fast_forward(2 * MINUTE)
        hand.touch(app.page.get_by_role("button", name="Start run 2 in it now"))
        first = app.page.get_by_role("button", name="Run 1 settles")
        expect(first).to_contain_text("7:5")
        hand.touch(app.page.get_by_role("button", name="Both are in"))
        hand.touch(app.page.get_by_role("button", name="Done: start"))
        expect(app.page.get_by_role("timer", name="Time to settle")).to_contain_text("7:5")
        app.picture("two-tubes")
        app.go("sources")
        expect(app.page.get_by_role("button", name="Run 1 settles")).to_be_visible()
        expect(app.page.get_by_role("button", name="Run 2 settles")).to_be_visible()

    # Killed; nine minutes after the first start it is opened again, and the phone sleeps through the rest.
    with driver.open(offline=True) as app:
        app.page.clock.install(time=(start + 9 * MINUTE) / 1000)
        app.go("log")
        expect(app.page.get_by_role("button", name="Run 1 settles")).to_contain_text("0:5")
        expect(app.page.get_by_role("button", name="Run 2 settles")).to_contain_text("2:5")
        app.page.clock.fast_forward(90_000)
        expect(app.page.get_by_role("button", name="Run 2 settles")).to_contain_text("1:2")
        app.tap("Run 1 has settled: read its line")
        app.enter("The line stands at", "88.5")
        app.tap("This is the reading")
        expect(app.page.get_by_role("timer", name="Time to settle")).to_be_visible()
        app.page.clock.fast_forward(2 * MINUTE)
        app.enter("The line stands at", "88.4")
        app.tap("This is the reading")
        expect(app.page.get_by_role("region", name="Result")).to_be_visible()
        expect(app.page.get_by_text("The runs agree.")).to_be_visible()
        assert app.faults == []
