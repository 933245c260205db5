"""How fast the production build is on a slow phone, beside references of the same machine: `--times 7`.

`--one-source`: all tests at one source, and how long the screen is blocked while its figures are computed.

The browser slows the processor down four times. Each figure is the median of several, with the smallest and the
largest. References are measured in the same run, since a busy machine is slow at everything.
"""

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))

from playwright.sync_api import CDPSession, expect, sync_playwright  # noqa: E402

from browser import stock  # noqa: E402
from browser.phone import Opened, Phone, until  # noqa: E402
from helpers.programs import chromium_path  # noqa: E402
from helpers.server_process import served  # noqa: E402
from house.test_budgets import DIST, FIRST_USE, INSTALLED, KILO, Page, first_use, installed  # noqa: E402

SLOWDOWN = 4
TESTS_IN_LOG = 10_000
SOURCES = 2_000
PATIENCE = 120
# Copies one row of the sources list, with other places, names and figures.
MORE_SOURCES = """async ([times]) => {
  const base = await opened();
  const writing = base.transaction(["sources", "figures"], "readwrite");
  const [sources, figures] = [writing.objectStore("sources"), writing.objectStore("figures")];
  const [source, line] = [(await answered(sources.getAll()))[0], (await answered(figures.getAll()))[0]];
  for (let at = 1; at < times; at += 1) {
    const id = source.id.slice(0, -12) + at.toString(16).padStart(12, "0");
    const place = { name: `Station ${at}`, latitude: 44 + (at % 50) / 25, longitude: 2 + Math.floor(at / 50) / 25 };
    sources.put({ ...source, ...place, id });
    const tau_bound = 1 + (at % 97) / 20;
    figures.put({ ...line, ...place, source: id, figures: { ...line.figures, tau_bound, tau: tau_bound / 2 } });
  }
  await done(writing);
  base.close();
}"""
# ms from a tap to the painting of its result.
TAP = """([what, to]) => new Promise((resolve) => {
  const start = performance.now();
  const look = () => {
    if (document.querySelector(to) === null) return requestAnimationFrame(look);
    const channel = new MessageChannel();
    channel.port1.onmessage = () => resolve(performance.now() - start);
    requestAnimationFrame(() => channel.port2.postMessage(null));
  };
  [...document.querySelectorAll("a, button")].find((one) => one.textContent.trim().startsWith(what)).click();
  look();
})"""
LOOP = """() => {
  const start = performance.now();
  let sum = 0;
  for (let at = 0; at < 2e7; at += 1) sum += at % 7;
  return performance.now() - start + 0 * sum;
}"""
ROW = """() => new Promise((resolve) => {
  const start = performance.now();
  const asked = indexedDB.open("reference", 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore("rows");
  asked.onsuccess = () => {
    const writing = asked.result.transaction("rows", "readwrite", { durability: "strict" });
    writing.objectStore("rows").put({}, start);
    writing.oncomplete = () => {
      asked.result.close();
      resolve(performance.now() - start);
    };
  };
})"""
# The longest task of the page from here on.
GAPS = """() => {
  let last = performance.now();
  globalThis.longestGap = 0;
  setInterval(() => {
    const now = performance.now();
    globalThis.longestGap = Math.max(globalThis.longestGap, now - last);
    last = now;
  }, 5);
}"""
STALE = """async () => {
  const base = await opened();
  const count = await answered(base.transaction("figures").objectStore("figures").index("by_stale").count(1));
  base.close();
  return count;
}"""
# Set before the page's own scripts: when the run sheet is usable, which is after the last long task.
WATCH = """addEventListener("DOMContentLoaded", () => {
  const look = () => {
    const usable = document.querySelector("main .sheet input");
    if (usable === null) return requestAnimationFrame(look);
    requestAnimationFrame(() => setTimeout(() => { globalThis.usableAt = performance.now(); }));
  };
  look();
});"""


def main() -> None:
    """Measure, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=5, help="measurements of each figure")
    parser.add_argument("--one-source", action="store_true", help="all tests at one source")
    asked = parser.parse_args()
    times = asked.times
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
        served(Path(folder) / "data") as server,
    ):
        phone = Phone(playwright, chromium_path(), Path(folder) / "phone", server.url, Path(folder))
        with phone.open() as app:
            app.go()
            app.installed()
            app.offline()
            app.keep_test()
            stock.repeat_newest(app.page, TESTS_IN_LOG - 1, sources=1 if asked.one_source else SOURCES)
            # The row to copy must have its figures.
            until(lambda: stock.ask(app.page, STALE) == 0, PATIENCE)
            if not asked.one_source:
                stock.ask(app.page, MORE_SOURCES, SOURCES)
        loop, write = [], []
        starts, blanks, keeps, opens, gaps, figured = [], [], [], [], [], []
        for _ in range(times):
            with phone.open(offline=True) as app:
                slow = app.context.new_cdp_session(app.page)
                slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
                blanks.append(empty_page(app))
                starts.append(cold_start(app))
                loop.append(app.page.evaluate(LOOP))
                write.append(app.page.evaluate(ROW))
                opens.append(open_sources(app))
                keeps.append(keep(app, slow))
                if asked.one_source:
                    waited, gap = computed(app)
                    figured.append(waited)
                    gaps.append(gap)
    where = "one source" if asked.one_source else f"{SOURCES} sources in turn"
    print(f"processor slowed down {SLOWDOWN} times, {TESTS_IN_LOG} tests in the log at {where}\n")
    say("reference: empty page, from navigation to drawn", blanks)
    say("reference: 20 million steps of a loop", loop)
    say("reference: one row on the disk", write)
    say("offline cold start to a usable run sheet", starts, 1000)
    say("keeping a test", keeps, 100)
    say("opening Sources", opens, 300)
    if asked.one_source:
        say("from keeping to the figures of the source", figured)
        say("longest the screen had to wait meanwhile", gaps)
    weigh()


def say(what: str, found: list[float], budget: int | None = None) -> None:
    """Print one figure with its range and its budget."""
    middle = statistics.median(found)
    verdict = "" if budget is None else f"   budget {budget} ms: {'held' if middle <= budget else 'NOT held'}"
    print(f"{what:55s} {middle:7.0f} ms  ({min(found):.0f} to {max(found):.0f}){verdict}")


def weigh() -> None:
    """Print the bytes of the build, gzip."""
    page = Page()
    page.feed((DIST / "index.html").read_text(encoding="utf-8"))
    for what, bytes_, most in (
        ("JavaScript before first use", first_use(page), FIRST_USE),
        ("installed", installed(), INSTALLED),
    ):
        print(f"{what}: {bytes_ / KILO:.1f} kB gzip of {most / KILO:.0f}")


def empty_page(app: Opened) -> float:
    """Return ms from navigating to an empty page until its first paint."""
    app.page.goto("data:text/html,<p>empty")
    drawn = "() => new Promise((resolve) => requestAnimationFrame(() => setTimeout(() => resolve(performance.now()))))"
    return float(app.page.evaluate(drawn))


def cold_start(app: Opened) -> float:
    """Return ms from navigation until the run sheet is usable, in a freshly started browser."""
    app.page.add_init_script(WATCH)
    app.page.goto(f"{app.address}/#/test")
    until(lambda: app.page.evaluate("globalThis.usableAt ?? null") is not None, PATIENCE)
    return float(app.page.evaluate("globalThis.usableAt"))


def open_sources(app: Opened) -> float:
    """Return ms from the tap on Sources until the list is painted."""
    return float(app.page.evaluate(TAP, ["Stations", "main a.row"]))


def computed(app: Opened) -> tuple[float, float]:
    """Return ms until the source's figures are right, and the longest time the screen was blocked meanwhile."""
    start = time.monotonic()
    app.page.evaluate(GAPS)
    until(lambda: stock.ask(app.page, STALE) == 0, PATIENCE)
    return 1000 * (time.monotonic() - start), float(app.page.evaluate("globalThis.longestGap"))


def keep(app: Opened, slow: CDPSession) -> float:
    """Return ms from the tap on Save until the page says so."""
    slow.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    app.go()
    app.page.locator("main input[type=radio]").first.check()
    app.choose("pump", exact=True)
    app.tap("Next")
    app.measure_water("20")
    app.tap("I have read this")
    app.fill_and_shake()
    app.read_line("88.8")
    expect(app.page.get_by_role("button", name="Save and share this test")).to_be_enabled()
    app.page.wait_for_timeout(1000)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    app.page.evaluate("document.querySelector('main h1').dataset.old = 'true'")
    return float(app.page.evaluate(TAP, ["Save and share", "main h1:not([data-old])"]))


if __name__ == "__main__":
    main()
