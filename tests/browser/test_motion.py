"""What moves, and that nothing does for who has asked their phone for less motion."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from browser.phone import Motion, Opened, Phone
from browser.sheet import SILENT
from serving import Served

# Names of the animations that run now, those of transitions included.
RUNNING = """
() => document.getAnimations()
  .filter((one) => one.playState === "running")
  .map((one) => one.animationName ?? one.transitionProperty ?? one.constructor.name)
"""
# How high the page stood in every frame since, each height once.
WATCH = """
() => {
  globalThis.heights = [scrollY];
  const look = () => {
    if (heights.at(-1) !== scrollY) heights.push(scrollY);
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
"""


def running(page: Page) -> set[str]:
    """The names of what is moving."""
    return set(page.evaluate(RUNNING))


def walk(app: Opened) -> tuple[set[str], list[float]]:
    """Through the pictures and the first stages; what moved, and how the page went to a stage that opened by itself."""
    app.page.goto(f"{app.address}/#/method")
    expect(app.page.locator(".method-turned")).to_be_visible()
    moved = running(app.page)
    app.go("test")
    app.add_source_here("Relais du Sureau noir")
    moved |= running(app.page)
    app.choose("Millilitres")
    app.tap("Keep this tube")
    app.enter("Temperature in the tube", "8")
    app.page.evaluate("scrollTo(0, 0)")
    app.page.evaluate(WATCH)
    app.tap("Go on")
    expect(app.page.get_by_role("button", name="I have read this")).to_be_visible()
    # Longer than browsers take to scroll smoothly.
    app.page.wait_for_timeout(1500)
    moved |= running(app.page)
    return moved, app.page.evaluate("heights")


def test_what_should_move_does(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open(motion="no-preference") as app:
        moved, heights = walk(app)
        assert {"turn", "grow"} <= moved
        assert len(heights) > 4, "the page jumped instead of going there"
        assert app.faults == []


def test_nothing_moves_for_who_wants_less_motion(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open(motion="reduce") as app:
        moved, heights = walk(app)
        assert moved == set()
        # It stood there, and stands here: at most one step of the page's own keeping of its place beside.
        assert 2 <= len(heights) <= 3, heights
        assert app.faults == []


@pytest.mark.parametrize(("motion", "moving"), [("no-preference", {"rise"}), ("reduce", set())])
def test_a_wait_moves_or_stands_still(
    server: Served, phone: Callable[[str, str], Phone], motion: Motion, moving: set[str]
) -> None:
    """Storage that never answers: the app goes on waiting."""
    with phone("driver", server.url).open(motion=motion) as app:
        app.context.add_init_script(SILENT)
        app.page.goto(f"{app.address}/#/fuel")
        expect(app.page.get_by_text("Reading…")).to_be_visible()
        assert running(app.page) == moving
