"""What moves, and that nothing does for who has asked their phone for less motion."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from browser.phone import Motion, Opened, Phone, until
from browser.sheet import PAINTED, SILENT
from helpers.server_process import Served

# Names of the animations that run now, those of transitions included.
RUNNING = """
() => document.getAnimations()
  .filter((one) => one.playState === "running")
  .map((one) => one.animationName ?? one.transitionProperty ?? one.constructor.name)
"""
# Before the page's own program: what has begun to move, and how the page was told to go somewhere.
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
# How high the page stood in every frame since, each height once, and whether it has come to where it was going.
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
    """The names of what is moving."""
    return set(page.evaluate(RUNNING))


@dataclass(frozen=True)
class Walk:
    """What moved, how the page was told to go to a stage that opened by itself, and the heights where it was seen."""

    moved: set[str]
    ways: list[str]
    heights: list[float]


def walk(app: Opened, moving: set[str]) -> Walk:
    """Through the pictures and the first stages. moving: what begins to move in the pictures."""
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
        # Of the way itself a slow machine draws few frames.
        assert walked.ways == ["smooth"]
        assert len(walked.heights) >= 2
        assert app.faults == []


def test_nothing_moves_with_reduced_motion(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open(motion="reduce") as app:
        walked = walk(app, set())
        assert walked.moved == set()
        assert walked.ways == ["instant"]
        # It stood there, and stands here: at most one step of the page's own keeping of its place beside.
        assert 2 <= len(walked.heights) <= 3, walked.heights
        assert app.faults == []


@pytest.mark.parametrize(("motion", "moving"), [("no-preference", {"rise"}), ("reduce", set())])
def test_the_waiting_sign_follows_the_motion_setting(
    server: Served, phone: Callable[[str, str], Phone], motion: Motion, moving: set[str]
) -> None:
    """Storage that never answers: the app goes on waiting."""
    with phone("driver", server.url).open(motion=motion) as app:
        app.context.add_init_script(SILENT)
        app.page.goto(f"{app.address}/#/fuel")
        expect(app.page.get_by_text("Reading…")).to_be_visible()
        assert running(app.page) == moving
