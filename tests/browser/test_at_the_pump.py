"""A person at a pump: 360 x 800, no signal, cold fuel, sun on the screen, one thumb, a phone that dies."""

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Locator, expect

from browser import stock
from browser.phone import Opened, Phone, until
from browser.taps import COUNTER, Count, Hand
from helpers.server_process import Served

SOURCE = "Relais du Sureau noir"
MOST_TAPS = 25
MINUTE = 60_000


@contextmanager
def at_the_pump(driver: Phone) -> Iterator[Opened]:
    """A phone with an earlier test, without a signal, in sunlight mode."""
    with driver.open() as app:
        app.go()
        app.installed()
        app.offline()
        app.add_source_here(SOURCE)
        app.add_tube("8")
        app.tap("I have read this")
        app.fill_and_shake()
        app.read_line("88.8")
        app.tap("Save and share this test")
        app.go("settings")
        app.choose("sunlight")
        app.written()
    with driver.open(offline=True) as app:
        app.page.clock.install()
        app.context.add_init_script(COUNTER)
        app.go()
        yield app


def begin(app: Opened, hand: Hand) -> None:
    """Enter source, sample, tube, water temperature, cautions; the rest keeps its default or stays empty."""
    hand.touch(app.page.get_by_role("radio", name=SOURCE).locator(".."))
    expect(app.page.get_by_role("radio", name="pump", exact=True)).to_be_checked()
    hand.touch(app.page.get_by_role("button", name="Next"))
    hand.touch(app.page.get_by_role("textbox", name="Water temperature"))
    hand.press("4")
    hand.touch(app.page.get_by_role("radio", name="measured").locator(".."))
    hand.touch(app.page.get_by_role("button", name="Next"))
    hand.touch(app.page.get_by_role("button", name="I have read this"))


def run(app: Opened, hand: Hand, read: Callable[[], None]) -> None:
    """Fill, invert, settle, read."""
    hand.touch(app.page.get_by_role("button", name="Both filled"))
    hand.touch(app.page.get_by_role("button", name="Done, start the 10-minute timer"))
    expect(app.page.get_by_role("timer")).to_have_count(1)
    app.page.clock.fast_forward(10 * MINUTE + 1000)
    expect(app.page.get_by_role("textbox", name="Line reading")).to_be_visible()
    read()


def test_two_runs_with_the_keypad_take_few_taps(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with at_the_pump(phone("driver", server.url)) as app:
        hand = Hand(app.page)

        def typed() -> None:
            hand.touch(app.page.get_by_role("textbox", name="Line reading"))
            hand.press("88.5")
            app.page.keyboard.press("Enter")

        counted = whole_test(app, hand, typed)
        assert counted.keys == 1 + 2 * 5
        assert app.faults == []


def test_two_runs_with_one_thumb_take_few_taps(server: Served, phone: Callable[[str, str], Phone]) -> None:
    """Drag to the line, then adjust by half graduations with plus and minus."""
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
            hand.touch(app.page.get_by_role("button", name="Line reading: more"))
            hand.touch(app.page.get_by_role("button", name="Line reading: more"))
            hand.touch(app.page.get_by_role("button", name="Use this reading"))

        counted = whole_test(app, hand, dragged)
        assert counted.keys == 1
        assert app.faults == []


def whole_test(app: Opened, hand: Hand, read: Callable[[], None]) -> Count:
    """From the open app to the saved test; the taps are printed and checked against their limit."""
    begin(app, hand)
    run(app, hand, read)
    hand.touch(app.page.get_by_role("button", name="Start run 2"))
    run(app, hand, read)
    hand.touch(app.page.get_by_role("button", name="Save and share this test"))
    expect(app.page.get_by_text("The test is on this phone.")).to_be_visible()
    counted = hand.count()
    print(f"\n{counted.taps} taps: {counted.touches} touches and {counted.keys} keys; {counted.swipes} swipes beside")
    assert counted.taps <= MOST_TAPS
    return counted


def due(app: Opened, run: int) -> float:
    """Remaining settling time of a run by the phone's own clock, s."""
    (sheet,) = stock.rows(app.page, "drafts")
    return float(sheet["runs"][run - 1]["settle_until"] - app.page.evaluate("Date.now()")) / 1000


def shows_what_is_left(app: Opened, run: int, clock: Locator | None = None) -> float:
    """Check that a run's timer shows the remaining time to the second; return it."""
    clock = clock or app.page.get_by_role("button", name=f"Run {run} settling")
    expect(clock).to_contain_text(re.compile(r"\d:\d\d"))

    def shown() -> bool:
        most = due(app, run)
        minutes, seconds = map(int, re.findall(r"(\d+):(\d\d)", clock.inner_text())[0])
        return due(app, run) - 1.5 <= 60 * minutes + seconds <= most + 1.5

    until(shown)
    return due(app, run)


def test_two_tubes_settle_side_by_side(server: Served, phone: Callable[[str, str], Phone]) -> None:
    """Each has its own timer, right after sleep and after a kill; the first one ready is read first."""
    driver = phone("driver", server.url)
    with at_the_pump(driver) as app:
        hand = Hand(app.page)
        start = app.page.evaluate("Date.now()")
        begin(app, hand)
        hand.touch(app.page.get_by_role("button", name="Both filled"))
        begun = time.monotonic()
        hand.touch(app.page.get_by_role("button", name="Done, start"))
        app.page.clock.fast_forward(2 * MINUTE)
        hand.touch(app.page.get_by_role("button", name="Start run 2 in it now"))
        app.written()
        left = shows_what_is_left(app, 1)
        assert 8 * 60 - (time.monotonic() - begun) <= left <= 8 * 60
        hand.touch(app.page.get_by_role("button", name="Both filled"))
        hand.touch(app.page.get_by_role("button", name="Done, start"))
        timer = app.page.get_by_role("timer", name="Settling time")
        app.written()
        shows_what_is_left(app, 1, timer)
        app.picture("two-tubes")
        app.go("sources")
        expect(app.page.get_by_role("button", name="Run 1 settling")).to_be_visible()
        expect(app.page.get_by_role("button", name="Run 2 settling")).to_be_visible()

    # Killed, reopened nine minutes after the first start; the phone sleeps through the rest.
    with driver.open(offline=True) as app:
        app.page.clock.install(time=(start + 9 * MINUTE) / 1000)
        app.go("log")
        shows_what_is_left(app, 1)
        before = shows_what_is_left(app, 2)
        app.page.clock.fast_forward(90_000)
        assert shows_what_is_left(app, 2) <= before - 90
        app.tap("Run 1 has settled: read the line")
        app.enter("Line reading", "88.5")
        app.tap("Use this reading")
        expect(app.page.get_by_role("timer", name="Settling time")).to_be_visible()
        app.page.clock.fast_forward(2 * MINUTE)
        app.enter("Line reading", "88.4")
        app.tap("Use this reading")
        expect(app.page.get_by_role("region", name="Result")).to_be_visible()
        expect(app.page.get_by_text("The runs agree.")).to_be_visible()
        assert app.faults == []
