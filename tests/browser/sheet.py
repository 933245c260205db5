"""Takes screenshots of every screen in every state, scheme and width, for people to look at.

`python tests/browser/sheet.py` writes all of them to tests/pictures/sheet; `--few` only those the suite takes.
"""

import argparse
import os
import sys
import tempfile
import time
from base64 import b64decode
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page, Playwright, expect, sync_playwright

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

from browser import fonts
from browser.phone import HERE, PATIENT, arrive
from browser.sheet_pages import ADDRESSES, ALL, FEW
from browser.sheet_rows import FILL, LINE, Filled, filling
from browser.switches import SWITCHES
from helpers.programs import chromium_path
from helpers.server_process import served

PICTURES = Path(__file__).parents[1] / "pictures" / "sheet"
# Without the service worker, every answer of the server can be held back.
NO_WORKER = "delete Navigator.prototype.serviceWorker;"
# What a page shows while it is still reading, and what it shows before that.
BUSY, MUTE = ".waiting", ".waiting:empty"
# Nothing has changed for a moment and nothing is still reading, or the time is up.
REST = """([busy, quiet, longest]) => new Promise((done) => {
  const end = performance.now() + longest;
  let changed = performance.now();
  const watching = new MutationObserver(() => { changed = performance.now(); });
  watching.observe(document, { subtree: true, childList: true, characterData: true, attributes: true });
  const look = () => {
    const now = performance.now();
    const still = now - changed >= quiet && document.querySelector(busy) === null;
    if (!still && now < end) return setTimeout(look, 20);
    watching.disconnect();
    done();
  };
  setTimeout(look, quiet);
})"""
QUIET, LONGEST = 80, 1500
HEIGHT = 800
DRESS = "scheme => { document.documentElement.dataset.scheme = scheme; return document.documentElement.scrollHeight; }"
PAINTED = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
# Scripts that run before the app's: IndexedDB that never answers, and one that fails.
SILENT = """IDBFactory.prototype.open = () => {
  const asked = Object.create(IDBOpenDBRequest.prototype);
  asked.addEventListener = asked.removeEventListener = () => {};
  return asked;
};"""
BROKEN = "IDBFactory.prototype.open = () => { throw new DOMException('no storage here', 'UnknownError'); };"


class Sheet:
    """A browser on a demo server; `drawn` lists what is on the sheet: (address, state)."""

    def __init__(self, browser: Browser, url: str, pictures: Path, looks: tuple[tuple[str, int], ...]) -> None:
        self._browser = browser
        self._url = url
        self._pictures = pictures
        self._looks = looks
        self.drawn: set[tuple[str, str]] = set()
        self._turn = 0
        self.files: list[Path] = []
        self.faults: list[str] = []
        pictures.mkdir(parents=True, exist_ok=True)

    @contextmanager
    def phone(self, script: str = "", connected: bool = True) -> Iterator[Page]:
        """A new phone, with a script that runs before the app's, with or without the server's answers."""
        context: BrowserContext = self._browser.new_context(
            viewport={"width": 360, "height": HEIGHT},
            geolocation=HERE,
            permissions=["geolocation"],
            locale="en-GB",
            timezone_id="Europe/Paris",
            reduced_motion="reduce",
        )
        context.set_default_timeout(PATIENT)
        context.add_init_script(NO_WORKER)
        if script:
            context.add_init_script(script)
        page = context.new_page()
        if not script:
            page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        if not connected:
            page.route("**/api/**", lambda route: route.abort())
        try:
            yield page
        finally:
            context.close()

    def go(self, page: Page, address: str, busy: str = BUSY) -> None:
        """Open an address and wait until the page is stable."""
        arrive(page, self._url, address)
        self.rest(page, busy)

    def rest(self, page: Page, busy: str = BUSY) -> None:
        """Wait until the page stops changing, for a short while at most. busy: what must be gone."""
        page.evaluate(REST, [busy, QUIET, LONGEST])

    def _next_looks(self) -> tuple[tuple[str, int], ...]:
        """Those that are wanted; of the suite's few one at a time, in turn."""
        if self._looks != FEW:
            return self._looks
        self._turn += 1
        return (FEW[self._turn % len(FEW)],)

    def draw(self, page: Page, address: str, state: str, name: str = "") -> None:
        """Take screenshots of the page."""
        session = page.context.new_cdp_session(page)
        for scheme, width in self._next_looks():
            page.set_viewport_size({"width": width, "height": HEIGHT})
            height = page.evaluate(DRESS, scheme)
            if height > HEIGHT:
                # Make the window as high as the page, so that the bar is at the bottom and not across the middle.
                page.set_viewport_size({"width": width, "height": height})
            # Fixed elements such as the bar are repainted one frame later.
            page.evaluate(PAINTED)
            title = (name or address).replace("/", "-").replace("*", "one")
            file = self._pictures / f"{title}.{state}.{scheme}-{width}.png"
            # Quick to compress: half the processor time of the driver's own screenshots.
            file.write_bytes(b64decode(session.send("Page.captureScreenshot", {"optimizeForSpeed": True})["data"]))
            self.files.append(file)
        session.detach()
        self.drawn.add((address, state))


def draw_sheet(sheet: Sheet) -> None:
    """Take all screenshots, phone by phone."""
    with sheet.phone(connected=False) as page:
        draw_all(sheet, page, "empty", Filled())
    for state, script in (("loading", SILENT), ("error", BROKEN)):
        with sheet.phone(script) as page:
            draw_all(sheet, page, state, Filled())
    with sheet.phone() as page:
        walk_a_test(sheet, page)
        filled = Filled(**page.evaluate(FILL, filling()))
        page.reload()
        draw_all(sheet, page, "filled", filled)
        for state in ("held", "conflict"):
            sheet.go(page, f"log/{filled.states[state]}")
            sheet.draw(page, "log/*", state)
        sheet.go(page, "log")
        sheet.draw(page, "log", "held", "log-states")
        sheet.go(page, f"log/{filled.test}")
        page.get_by_role("button", name="Share as a picture").click()
        expect(page.locator(".pass-on img")).to_be_visible()
        sheet.draw(page, "log/*", "filled", "pass-on")
        page.route("**/api/**", lambda route: route.abort())
        sheet.go(page, "sources")
        page.get_by_role("button", name="Refresh").click()
        expect(page.get_by_text("Last attempt failed")).to_be_visible()
        for address in ("sources", "log", "test"):
            sheet.go(page, address)
            sheet.draw(page, address, "offline")


def draw_all(sheet: Sheet, page: Page, state: str, filled: Filled) -> None:
    """Take screenshots of every address, with the ids of existing rows."""
    for address in ADDRESSES:
        sheet.go(page, filled.addressed(address), MUTE if state == "loading" else BUSY)
        sheet.draw(page, address, state)
        if (address, state) == ("test", "empty"):
            page.get_by_role("button", name="Skip", exact=True).click()
            sheet.rest(page)
            sheet.draw(page, "test", "empty", "test-first")


def walk_a_test(sheet: Sheet, page: Page) -> None:
    """Do a test from the first entry to the saved result, with a screenshot of every stage."""

    def stage(name: str) -> None:
        sheet.rest(page)
        sheet.draw(page, "test", "filled", f"test-{name}")
        page.set_viewport_size({"width": 360, "height": HEIGHT})

    def tap(name: str) -> None:
        page.get_by_role("button", name=name).first.click()

    sheet.go(page, "sources")
    expect(page.locator("main a.row").nth(9)).to_be_visible()
    tap("Use my location")
    sheet.go(page, "test")
    page.get_by_role("button", name="Skip", exact=True).click()
    page.locator("label.row").first.click()
    page.get_by_role("radio", name="pump", exact=True).check()
    stage("a-source")
    tap("Next")
    page.get_by_role("radio", name="Millilitres").check()
    stage("b-new-tube")
    tap("Save this tube")
    page.get_by_role("textbox", name="Water temperature").fill("4")
    stage("c-tube")
    tap("Next")
    stage("d-before")
    page.get_by_role("button", name="I have read this").click()
    stage("e-fill")
    tap("Both filled")
    stage("f-turn")
    tap("Done, start")
    stage("g-settle")
    tap("Start run 2 in it now")
    stage("h-two-tubes")
    tap("Both filled")
    tap("Done, start")
    sheet.go(page, "fuel")
    sheet.draw(page, "fuel", "filled", "fuel-while-settling")
    sheet.go(page, "test")
    for line in LINE:
        tap("It has settled, skip the timer")
        stage("i-line")
        page.get_by_role("textbox", name="Line reading").fill(line)
        tap("Use this reading")
    stage("j-result")
    tap("Save and share this test")
    expect(page.get_by_text("The test is on this phone.")).to_be_visible()
    stage("k-kept")


def draw(playwright: Playwright, chromium: Path, looks: tuple[tuple[str, int], ...]) -> Sheet:
    """Start a demo server and a browser, and take all screenshots."""
    with tempfile.TemporaryDirectory() as folder, served(Path(folder) / "data", "--demo") as server:
        environment = {**os.environ, **fonts.ONLY_THESE}
        browser = playwright.chromium.launch(executable_path=chromium, args=SWITCHES, env=environment)
        sheet = Sheet(browser, server.url, PICTURES, looks)
        try:
            draw_sheet(sheet)
        except Error:
            print(f"stopped after {len(sheet.files)} pictures", file=sys.stderr)
            raise
        finally:
            browser.close()
    return sheet


def main(arguments: Any = None) -> None:
    """Take the screenshots and print where they are."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--few", action="store_true", help="one picture of each screen and state, the looks in turn")
    parser.add_argument("--look", metavar="SCHEME-WIDTH", help="one look only, such as sunlight-320")
    begun = time.monotonic()
    wanted = parser.parse_args(arguments)
    one = [look for look in ALL if "-".join(map(str, look)) == wanted.look]
    with sync_playwright() as playwright:
        sheet = draw(playwright, chromium_path(), tuple(one) or (FEW if wanted.few else ALL))
    print(f"{len(sheet.files)} pictures in {PICTURES}, {time.monotonic() - begun:.0f} s")


if __name__ == "__main__":
    main()
