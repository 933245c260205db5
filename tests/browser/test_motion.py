"""Animations, and that nothing moves when the phone asks for reduced motion."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from browser.phone import Motion, Opened, Phone, until
from browser.sheet import PAINTED, SILENT
from helpers.server_process import Served

# Names of the running animations and transitions.
RUNNING = """
() => document.getAnimations()
  .filter((one) => one.playState === "running")
  .map((one) => one.animationName ?? one.transitionProperty ?? one.constructor.name)
"""
# Runs before the page's scripts: records animations that start and how scrolling was requested.
NOTES = """
globalThis.begun = [];
globalThis.ways = [];
addEventListener("animationstart", (event) => begun.push(event.animationName), true);
addEventListener("transitionrun", (event) => begun.push(event.propertyName), true);
const { scrollIntoView } = Element.prototype;
Element.prototype.scrollIntoView = function (options) {
  ways.push(options?.behavior ?? "auto");
  return scrollIntoView.call(this, options);
};
"""
# Records the scroll heights in each frame, without repeats, and whether the target was reached.
WATCH = """
() => {
  globalThis.heights = [scrollY];
  globalThis.ways = [];
  globalThis.arrived = false;
  addEventListener("scrollend", () => { arrived = true; }, { once: true });
  const look = () => {
    if (heights.at(-1) !== scrollY) heights.push(scrollY);
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}
"""


def running(page: Page) -> set[str]:
    """The names of the running animations."""
    return set(page.evaluate(RUNNING))


@dataclass(frozen=True)
class Walk:
    """What moved, how scrolling to an opened stage was requested, and the scroll heights seen."""

    moved: set[str]
    ways: list[str]
    heights: list[float]


def walk(app: Opened, moving: set[str]) -> Walk:
    """Go through the pictures and the first stages. moving: animations that start in the pictures."""
    app.page.add_init_script(NOTES)
    app.page.goto(f"{app.address}/#/method")
    expect(app.page.locator(".method-turned")).to_be_visible()
    moved = running(app.page)
    until(lambda: moving <= set(app.page.evaluate("begun")))
    app.go("test")
    app.add_source_here("Relais du Sureau noir")
    moved |= running(app.page)
    app.choose("Millilitres")
    app.tap("Save this tube")
    app.enter("Water temperature", "8")
    app.page.evaluate("scrollTo(0, 0)")
    app.page.evaluate(PAINTED)
    app.page.evaluate(WATCH)
    app.tap("Next")
    expect(app.page.get_by_role("button", name="I have read this")).to_be_visible()
    until(lambda: app.page.evaluate("arrived"))
    app.page.evaluate(PAINTED)
    moved |= running(app.page) | set(app.page.evaluate("begun"))
    return Walk(moved, app.page.evaluate("ways"), app.page.evaluate("heights"))


def test_animations_run_by_default(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open(motion="no-preference") as app:
        walked = walk(app, {"turn", "grow"})
        assert {"turn", "grow"} <= walked.moved
        # A slow machine draws few frames of the scrolling.
        assert walked.ways == ["smooth"]
        assert len(walked.heights) >= 2
        assert app.faults == []


def test_nothing_moves_with_reduced_motion(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open(motion="reduce") as app:
        walked = walk(app, set())
        assert walked.moved == set()
        assert walked.ways == ["instant"]
        # It jumps from start to end, with at most one step of scroll anchoring.
        assert 2 <= len(walked.heights) <= 3, walked.heights
        assert app.faults == []


@pytest.mark.parametrize(("motion", "moving"), [("no-preference", {"rise"}), ("reduce", set())])
def test_the_waiting_sign_follows_the_motion_setting(
    server: Served, phone: Callable[[str, str], Phone], motion: Motion, moving: set[str]
) -> None:
    """With storage that never answers, the app keeps waiting."""
    with phone("driver", server.url).open(motion=motion) as app:
        app.context.add_init_script(SILENT)
        app.page.goto(f"{app.address}/#/fuel")
        expect(app.page.get_by_text("Reading…")).to_be_visible()
        assert running(app.page) == moving
