"""A phone with the app: real Chromium with its own profile, which outlives the browser."""

import os
import re
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Literal

from playwright.sync_api import BrowserContext, Error, Locator, Page, Playwright, expect

from browser import fonts, stock
from browser.switches import SWITCHES

Motion = Literal["no-preference", "reduce"]
SCREEN = {"width": 360, "height": 800}
# What Chromium's log says when it crashes at its start, about once in a thousand times.
CRASHED = "Segmentation fault"
# Milliseconds: long enough for a page on a busy core, short enough to catch a page that hangs.
PATIENT = 60_000
# The phone's position: in the Massif Central, far from any station.
HERE = {"latitude": 45.302, "longitude": 2.504}


expect.set_options(timeout=PATIENT)


def until(true: Callable[[], bool], seconds: float = PATIENT / 1000) -> None:
    """Wait until a condition holds; the page's security policy forbids the driver's own polling inside the page."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.05)


# The app learns of a new address one tick later and renders it another tick later.
ARRIVE = """(hash) => new Promise((drawn) => {
  if (location.hash === hash) return drawn();
  addEventListener("hashchange", () => setTimeout(drawn), { once: true });
  location.hash = hash;
})"""


def arrive(page: Page, address: str, place: str) -> None:
    """Open a screen of the app, or go there if the app is open; returns once it is shown."""
    here, there = str(page.evaluate("location.href")), f"{address}/#/{place}"
    if here.startswith(f"{address}/") and here != there:
        page.evaluate(ARRIVE, f"#/{place}")
    else:
        page.goto(there)


class Phone:
    """One profile folder; `open` starts a browser on it."""

    def __init__(
        self,
        playwright: Playwright,
        chromium: Path,
        profile: Path,
        address: str,
        pictures: Path,
        language: str = "en-GB",
    ) -> None:
        self._playwright = playwright
        self._chromium = chromium
        self._profile = profile
        self.address = address
        self._pictures = pictures
        self._language = language

    @contextmanager
    def open(
        self, offline: bool = False, motion: Motion = "reduce", switches: Sequence[str] = ()
    ) -> Iterator["Opened"]:
        """Start the browser on this profile, with or without a connection.

        motion: "reduce" keeps things from moving while the test taps. switches: further browser switches.
        """
        start = partial(
            self._playwright.chromium.launch_persistent_context,
            self._profile,
            executable_path=self._chromium,
            args=[*SWITCHES, *switches],
            env={**os.environ, **fonts.ONLY_THESE},
            reduced_motion=motion,
            viewport=SCREEN,
            geolocation=HERE,
            permissions=["geolocation"],
            locale=self._language,
            timezone_id="Europe/Paris",
        )
        try:
            context = start()
        except Error as fault:
            if CRASHED not in str(fault):
                raise
            context = start()
        context.set_default_timeout(PATIENT)
        context.set_offline(offline)
        try:
            yield Opened(self, context, self._pictures)
        finally:
            context.close()


class Opened:
    """The app on an open phone; its methods are what a user does."""

    def __init__(self, phone: Phone, context: BrowserContext, pictures: Path, page: Page | None = None) -> None:
        self._phone = phone
        self.context = context
        self._pictures = pictures
        self.page: Page = page or (context.pages[0] if context.pages else context.new_page())
        self.faults: list[str] = []
        self.page.on("pageerror", lambda fault: self.faults.append(str(fault)))

    @property
    def address(self) -> str:
        """The app's address."""
        return self._phone.address

    def go(self, place: str = "test") -> None:
        """Open a place of the app."""
        arrive(self.page, self._phone.address, place)
        expect(self.page.locator("main h1")).to_be_visible()
        self.leave_the_explanation()

    def leave_the_explanation(self) -> None:
        """Skip the explanation that a new phone shows first."""
        skip = self.page.locator(".method-head button")
        if skip.is_visible() and self.page.url.endswith("/test"):
            skip.click()
            expect(skip).to_have_count(0)
            expect(self.page.locator("main h1")).to_be_visible()

    def installed(self) -> None:
        """Wait until the service worker has cached everything and controls the page."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.page.reload()
        until(lambda: self.page.evaluate("navigator.serviceWorker.controller?.state") == "activated")
        expect(self.page.locator("main h1")).to_be_visible()

    def written(self) -> None:
        """Wait until all entries so far are on disk."""
        # Entries made during a write are written after it.
        for _ in range(2):
            stock.wait_for_writers(self.page)

    def reload(self) -> None:
        """Reload the page once all entries are on disk, as they would be for a person."""
        self.written()
        self.page.reload()

    def offline(self, offline: bool = True) -> None:
        """Cut or restore the connection."""
        self.context.set_offline(offline)

    def tap(self, name: str, exact: bool = False) -> None:
        """Tap a button or link by its text."""
        self.page.get_by_role("button", name=name, exact=exact).or_(
            self.page.get_by_role("link", name=name, exact=exact)
        ).first.click()

    def choose(self, name: str, exact: bool = False) -> None:
        """Select one of a row of choices."""
        self.page.get_by_role("radio", name=name, exact=exact).first.check()

    def enter(self, name: str, value: str) -> None:
        """Type into a field found by its label."""
        self.page.get_by_role("textbox", name=name).first.fill(value)

    def add_source_here(self, name: str) -> None:
        """Add a source at the phone's position."""
        add = self.page.get_by_role("button", name="Add a station")
        expect(add.or_(self.page.get_by_role("textbox", name="Name", exact=True)).first).to_be_visible()
        if add.is_visible():
            add.click()
        self.enter("Name", name)
        self.choose("I am there")
        expect(self.page.get_by_role("status").filter(has_text="45.30")).to_be_visible()
        self.tap("Save this station")
        self.choose("pump", exact=True)
        self.tap("Next")

    def add_tube(self, temperature: str) -> None:
        """Describe a 50 mL + 50 mL tube in millilitres and enter the water temperature."""
        self.choose("Millilitres")
        self.tap("Save this tube")
        self.measure_water(temperature)

    def measure_water(self, temperature: str) -> None:
        """Enter the water temperature; the fuel counts as equally warm."""
        self.enter("Water temperature", temperature)
        self.choose("measured")
        self.tap("Next")

    def measure_tube(self, temperature: str = "20") -> None:
        """Enter the tube's temperature at reading."""
        self.tap("Enter the tube temperature")
        self.enter("Tube temperature", temperature)

    def fill_and_shake(self) -> None:
        """Confirm filling to the marks, inverting and venting."""
        self.tap("Both filled")
        self.tap("Done, start")

    def read_line(self, line: str, photo: Path | None = None) -> None:
        """Skip the timer, enter the tube's temperature and the line, and add the photo if given."""
        self.tap("It has settled, skip the timer")
        self.measure_tube()
        self.enter("Line reading", line)
        if photo:
            self.page.locator("input[type=file]").first.set_input_files(photo)
            expect(self.page.locator("main img").first).to_be_visible()
        self.tap("Use this reading")

    def begin_test(self, source: str = "Col des Lauzes") -> None:
        """Fill in the sheet up to settling, with a new tube, at a known source or else a new one."""
        form = self.page.get_by_role("textbox", name="Name")
        known = self.page.get_by_role("radio", name=source)
        expect(form.or_(known).first).to_be_visible()
        if known.count():
            self.choose(source)
            self.choose("pump", exact=True)
            self.tap("Next")
        else:
            self.add_source_here(source)
        self.add_tube("20")
        self.tap("I have read this")
        self.fill_and_shake()

    def keep_test(self, source: str = "Col des Lauzes", photo: Path | None = None, share: bool = True) -> None:
        """Do and save a test with one run at a new source in a new tube."""
        self.go()
        self.begin_test(source)
        self.read_line("88.8", photo)
        self.decide(share)

    def decide(self, share: bool) -> None:
        """Save the test; the first time this also decides whether tests are shared."""
        switch = self.page.get_by_label("Share this test")
        expect(switch.or_(self.page.get_by_role("region", name="Share your tests?"))).to_be_visible()
        if switch.is_visible():
            switch.set_checked(share)
        self.tap("Save and share this test" if share else "Save this test")
        expect(self.page.get_by_role("heading", name="Saved")).to_be_visible()

    def share_newest(self) -> None:
        """Open the newest test in the log and share it."""
        self.go("log")
        self.page.locator("main a.row").first.click()
        self.tap("Share this test")

    def standing(self) -> str:
        """Return the status line about the server, with ordinary spaces."""
        return self.page.locator("footer.standing").inner_text().replace("\u00a0", " ")

    def another_tab(self, place: str = "test") -> "Opened":
        """Open the app in another tab."""
        other = Opened(self._phone, self.context, self._pictures, self.context.new_page())
        other.go(place)
        return other

    def bring(self, what: Locator) -> None:
        """Scroll to an element; if a chart is redrawn meanwhile, to the new one."""

        def there() -> bool:
            try:
                what.scroll_into_view_if_needed(timeout=2000)
            except Error:
                return False
            return True

        until(there)

    def picture(self, name: str) -> None:
        """Save a screenshot for people to look at."""
        self._pictures.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=self._pictures / f"{name}.png")


def known_as(app: Opened) -> str:
    """The contributor ID in the settings, once it is shown."""
    number = app.page.get_by_text("Contributor ID").locator("xpath=following-sibling::dd")
    expect(number).to_have_text(re.compile("^[0-9a-f]{16}$"))
    return number.inner_text()
