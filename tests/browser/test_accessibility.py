"""Accessibility of every screen: axe-core in two widths and all schemes, no sideways scrolling, large targets."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from browser import stock
from browser.phone import SCREEN, Opened, Phone, arrive, until
from helpers.server_process import Served

AXE = Path("node_modules") / "axe-core" / "axe.min.js"
NARROW, WIDE = {"width": 320, "height": 720}, {"width": 1280, "height": 900}
TABLET = {"width": 768, "height": 900}
PATIENCE = 60
REGION = "FR-63"
# Pages of a new phone; then of one with the demo, an own test, a can and a tank. Names in braces are filled in.
EMPTY = [
    "test",
    "sources",
    "fuel",
    "fuel/reach",
    "fuel/heel",
    "fuel/sensor",
    "fuel/engine",
    "fuel/fill",
    "log",
    "tubes",
]
PLACES = [
    *("test", "sources", "sources/map", "source/new", "source/{source}", "source/{source}/record", "region/{region}"),
    *("fuel", "fuel/tank", "fuel/reach", "fuel/heel", "fuel/sensor", "fuel/engine"),
    *("fuel/vehicle", "fuel/vehicle/new", "fuel/fill", "fuel/fills"),
    *("fuel/can/new", "fuel/can/{test}", "fuel/can/{test}/label", "log", "log/{test}"),
    *("tubes", "tubes/new", "tubes/{tube}", "tubes/{tube}/edit"),
    *("tubes/{tube}/weigh", "tubes/{tube}/scale", "tubes/{tube}/sample"),
    *("settings", "settings/files", "settings/move", "settings/regions", "repair", "nowhere"),
]
# All rules once in each width, the colours in every scheme: no style sets colours for a width.
COLOURS = ["color-contrast"]
PASSES = (
    (NARROW, {"light": None, "dark": COLOURS, "sunlight": COLOURS}),
    (WIDE, {"dark": None}),
)
CHECK = """async ([scheme, only]) => {
  document.documentElement.dataset.scheme = scheme;
  await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
  const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
  const runOnly = only ? { type: "rule", values: only } : { type: "tag", values: tags };
  const found = await axe.run(document, { runOnly, resultTypes: ["violations"] });
  return found.violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 160)}`));
}"""
# Of a hidden radio, switch or file the label is the target. A link inside a sentence may be as small as the sentence,
# and a quiet button as small as WCAG 2.2 (2.5.8) allows.
SMALL = """() => {
  const hidden = "input[type=radio], input[type=checkbox], input[type=file]";
  const target = (one) => (one.matches(hidden) ? (one.closest("label") ?? one) : one);
  const shown = (one) => one.checkVisibility({ visibilityProperty: true }) && one.getClientRects().length > 0;
  const inline = (one) => one.matches("a") && getComputedStyle(one).display === "inline";
  const all = document.querySelectorAll("a[href], button:not(.skip), input, select, textarea, summary, [role=slider]");
  const least = (one) => (one.matches(".small, .plain") ? 24 : 48);
  return [...new Set([...all].filter((one) => !one.disabled).map(target))]
    .filter((one) => shown(one) && !inline(one))
    .map((one) => ({ one, box: one.getBoundingClientRect() }))
    .filter(({ one, box }) => Math.min(box.width, box.height) < least(one) - 0.5)
    .map(({ one, box }) => `small, ${box.width | 0} x ${box.height | 0}: ${one.outerHTML.slice(0, 120)}`);
}"""
SIDEWAYS = "document.documentElement.scrollWidth > innerWidth"
FUEL = """async ([test]) => {
  const base = await opened();
  const writing = base.transaction(["cans", "settings", "fills"], "readwrite");
  const [now, { id, source }] = [new Date().toISOString(), test];
  const known = { content: 83, expanded_uncertainty: 2 };
  const times = { tested_at: now, filled_at: now, opened_humid_at: null, retest_days: 30, emptied_at: null };
  const can = { id, name: "the red one", capacity: 20, volume: 15, source, test: id };
  writing.objectStore("cans").put({ ...can, ...known, ...times });
  const tank = { capacity: 50, volume: 20, ...known, changed_at: now };
  const blue = { id, name: "Blue hatchback", sensor: true, minimum: 80, ...tank };
  const van = { ...blue, id: "van", name: "Van", sensor: false };
  writing.objectStore("settings").put({ in_use: id, rows: [blue, van] }, "vehicles");
  const part = { volume: 20, ...known, source, name: "a station", from: "test", test: id, water: 0.5 };
  const held = { volume: 20, ...known };
  // Three in a row beyond both uncertainties.
  for (const at of [1, 2, 3]) {
    const filled = { vehicle: id, filled_at: `2026-03-0${at}T10:00:00Z`, added: [part], before: held, after: held };
    writing.objectStore("fills").put({ id: `fill-${at}`, ...filled, sensed: 95, note: "some water in the glass" });
  }
  await done(writing);
  base.close();
}"""


@pytest.fixture(scope="module")
def app(
    playwright: Playwright, chromium: Path, node: Any, club: Served, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Opened]:
    """One phone for all screens; it has not contacted its server, which has the demo, yet."""
    folder = tmp_path_factory.mktemp("access")
    with Phone(playwright, chromium, folder / "phone", club.url, folder).open() as opened:
        opened.context.route("**/api/**", lambda route: route.abort())
        opened.go()
        opened.page.evaluate((node.folder / AXE).read_text(encoding="utf-8"))
        yield opened


def hop(app: Opened, place: str) -> None:
    """Go to a screen without reloading, and wait until it is shown."""
    arrive(app.page, app.address, place)
    expect(app.page.locator("main h1, main dialog[open]").first).to_be_visible()
    expect(app.page.locator("main .waiting")).to_have_count(0)


def look(app: Opened, name: str) -> list[str]:
    """Check the screen in both widths and all schemes; return the faults."""
    found: list[str] = []
    for size, schemes in PASSES:
        app.page.set_viewport_size(size)  # type: ignore[arg-type]
        # As high as the page: otherwise the bar may half cover a button that a bit of scrolling would reveal.
        height = app.page.evaluate("document.documentElement.scrollHeight")
        if height > size["height"]:
            app.page.set_viewport_size({"width": size["width"], "height": height})
        for scheme, only in schemes.items():
            wrong = app.page.evaluate(CHECK, [scheme, only])
            if only is None:
                wrong += app.page.evaluate(SMALL)
                wrong += ["scrolls sideways"] if app.page.evaluate(SIDEWAYS) else []
            found += [f"{name}, {size['width']} px, {scheme}: {one}" for one in wrong]
    app.page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    found += [f"{name}, 768 px: scrolls sideways"] if app.page.evaluate(SIDEWAYS) else []
    app.page.set_viewport_size(SCREEN)  # type: ignore[arg-type]
    return found


def test_the_check_finds_deliberate_faults(app: Opened) -> None:
    spoil = """(style) => {
      const wrong = Object.assign(document.createElement("button"), { id: "wrong", textContent: "wrong" });
      document.querySelector("main").append(wrong);
      for (const [name, value] of Object.entries(style)) wrong.style.setProperty(name, value);
    }"""
    faults = {
        "color-contrast": {"color": "#888", "background": "#999"},
        "small": {"min-height": "0", "height": "30px", "padding": "0"},
        "sideways": {"min-width": "1500px"},
    }
    for word, style in faults.items():
        app.page.evaluate(spoil, style)
        assert [one for one in look(app, "test") if word in one], word
        app.page.evaluate("document.getElementById('wrong').remove()")


def test_every_screen_of_a_new_phone_is_accessible(app: Opened) -> None:
    found: list[str] = []
    for place in EMPTY:
        hop(app, place)
        found += look(app, f"{place} (empty)")
    assert found == []


def test_every_screen_of_a_phone_in_use_is_accessible(app: Opened) -> None:
    app.context.unroute_all()
    app.page.evaluate("dispatchEvent(new Event('online'))")
    until(lambda: stock.count(app.page, "figures") >= 14, PATIENCE)
    hop(app, "test")
    app.page.locator("main input[type=radio]").first.check()
    app.choose("pump", exact=True)
    app.tap("Next")
    found = look(app, "test: tube")
    app.add_tube("20")
    found += look(app, "test: cautions")
    app.tap("I have read this")
    found += look(app, "test: fill")
    app.fill_and_shake()
    found += look(app, "test: settling")
    app.tap("It has settled, skip the timer")
    found += look(app, "test: line")
    app.enter("Line reading", "88.8")
    app.tap("Use this reading")
    expect(app.page.get_by_role("region", name="Result")).to_be_visible()
    found += look(app, "test: result")
    app.tap("Discard this test")
    expect(app.page.get_by_role("button", name="Undo")).to_be_visible()
    found += look(app, "test: undo")
    app.tap("Undo")
    app.tap("Save and share this test")
    expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
    found += look(app, "test: kept")
    (test,) = stock.rows(app.page, "own_tests")
    stock.ask(app.page, FUEL, test)
    names = {"source": test["source"], "test": test["id"], "tube": test["test"]["tube"]["id"], "region": REGION}
    for place in PLACES:
        hop(app, place.format(**names))
        found += look(app, place)
    hop(app, f"log/{test['id']}")
    app.tap("Withdraw this test")
    expect(app.page.get_by_role("dialog")).to_be_visible()
    found += look(app, "log: dialog")
    assert found == []
    assert app.faults == []
