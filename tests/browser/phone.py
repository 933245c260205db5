"""A phone with the app on it: real Chromium, a profile of its own that outlives the browser."""

import json
import os
import re
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from playwright.sync_api import BrowserContext, Error, Locator, Page, Playwright, expect

from browser import fonts, stock

Motion = Literal["no-preference", "reduce"]
SCREEN = {"width": 360, "height": 800}
SWITCHES = [
    "--no-sandbox",
    "--disable-gpu",
    "--in-process-gpu",
    "--disable-extensions",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# Milliseconds: a page on a busy core may be late; one that does nothing is still found out.
PATIENT = 60_000
# Where the phone says it is: in the Massif Central, near no station.
HERE = {"latitude": 45.302, "longitude": 2.504}


expect.set_options(timeout=PATIENT)


def until(true: Callable[[], bool], seconds: float = PATIENT / 1000) -> None:
    """Wait until something holds; the page's policy forbids the driver's own polling in the page."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.05)


# The app hears of a new address one step later than whoever sets it, and draws it another step later.
ARRIVE = """(hash) => new Promise((drawn) => {
  if (location.hash === hash) return drawn();
  addEventListener("hashchange", () => setTimeout(drawn), { once: true });
  location.hash = hash;
})"""


def arrive(page: Page, address: str, place: str) -> None:
    """Open a place of the app, or go there in the app that is open; what the page shows then is this place."""
    here, there = str(page.evaluate("location.href")), f"{address}/#/{place}"
    if here.startswith(f"{address}/") and here != there:
        page.evaluate(ARRIVE, f"#/{place}")
    else:
        page.goto(there)


class Phone:
    """One profile folder; `open` starts the browser on it as often as wanted."""

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

    def set_text_size(self, pixels: int) -> None:
        """Set the browser's own text size, as a person does who reads badly; 16 is usual. Not while it is open."""
        preferences = self._profile / "Default" / "Preferences"
        kept = json.loads(preferences.read_text(encoding="utf-8"))
        kept.setdefault("webkit", {}).setdefault("webprefs", {})["default_font_size"] = pixels
        preferences.write_text(json.dumps(kept), encoding="utf-8")

    @contextmanager
    def open(
        self, offline: bool = False, motion: Motion = "reduce", switches: Sequence[str] = ()
    ) -> Iterator["Opened"]:
        """Start the browser on this profile, with or without a connection.

        motion: without it nothing moves under the driver's finger. switches: more of the browser's own.
        """
        context = self._playwright.chromium.launch_persistent_context(
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
        context.set_default_timeout(PATIENT)
        context.set_offline(offline)
        try:
            yield Opened(self, context, self._pictures)
        finally:
            context.close()


class Opened:
    """The app on an opened phone, in the words of who holds it."""

    def __init__(self, phone: Phone, context: BrowserContext, pictures: Path, page: Page | None = None) -> None:
        self._phone = phone
        self.context = context
        self._pictures = pictures
        self.page: Page = page or (context.pages[0] if context.pages else context.new_page())
        self.faults: list[str] = []
        self.page.on("pageerror", lambda fault: self.faults.append(str(fault)))

    @property
    def address(self) -> str:
        """Where the app comes from."""
        return self._phone.address

    def go(self, place: str = "test") -> None:
        """Open a place of the app."""
        arrive(self.page, self._phone.address, place)
        expect(self.page.locator("main h1")).to_be_visible()
        self.leave_the_explanation()

    def leave_the_explanation(self) -> None:
        """What a new phone shows first; whoever drives these tests knows the test."""
        skip = self.page.locator(".method-head button")
        if skip.is_visible() and self.page.url.endswith("/test"):
            skip.click()
            expect(skip).to_have_count(0)
            expect(self.page.locator("main h1")).to_be_visible()

    def installed(self) -> None:
        """Wait until the worker has everything and is in charge of the page."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.page.reload()
        until(lambda: self.page.evaluate("navigator.serviceWorker.controller?.state") == "activated")
        expect(self.page.locator("main h1")).to_be_visible()

    def written(self) -> None:
        """Wait until everything that was entered so far is on the phone's disk."""
        # What was entered while something else was being written is written after it.
        for _ in range(2):
            stock.wait_for_writers(self.page)

    def reload(self) -> None:
        """Load the page again; what was entered is on the disk by then, as it is when a person does this."""
        self.written()
        self.page.reload()

    def offline(self, offline: bool = True) -> None:
        """Cut or give back the connection."""
        self.context.set_offline(offline)

    def tap(self, name: str, exact: bool = False) -> None:
        """Tap a button or link by its words."""
        self.page.get_by_role("button", name=name, exact=exact).or_(
            self.page.get_by_role("link", name=name, exact=exact)
        ).first.click()

    def choose(self, name: str, exact: bool = False) -> None:
        """Take one of a row of choices."""
        self.page.get_by_role("radio", name=name, exact=exact).first.check()

    def enter(self, name: str, value: str) -> None:
        """Type into a field."""
        self.page.get_by_role("textbox", name=name).first.fill(value)

    def add_source_here(self, name: str) -> None:
        """Add the place where the phone is."""
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
        """Describe a 50 mL + 50 mL tube in millilitres, and measure the temperature of the water."""
        self.choose("Millilitres")
        self.tap("Save this tube")
        self.measure_water(temperature)

    def measure_water(self, temperature: str) -> None:
        """Measure the water; the fuel counts as warm as it is."""
        self.enter("Water temperature", temperature)
        self.choose("measured")
        self.tap("Next")

    def measure_tube(self, temperature: str = "20") -> None:
        """Measure the tube while the line is read."""
        self.tap("Enter the tube temperature")
        self.enter("Tube temperature", temperature)

    def fill_and_shake(self) -> None:
        """Water and fuel to their marks, turned over, vented."""
        self.tap("Both filled")
        self.tap("Done, start")

    def read_line(self, line: str, photo: Path | None = None) -> None:
        """Skip what is left of the clock, measure the tube, enter the line, and a photo if there is one."""
        self.tap("It has settled, skip the timer")
        self.measure_tube()
        self.enter("Line reading", line)
        if photo:
            self.page.locator("input[type=file]").first.set_input_files(photo)
            expect(self.page.locator("main img").first).to_be_visible()
        self.tap("Use this reading")

    def begin_test(self, source: str = "Col des Lauzes") -> None:
        """Fill the sheet for a source that the phone knows, or else a new one, and a new tube up to the settling."""
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
        """Make a test with one run at a new source in a new tube, and keep it."""
        self.go()
        self.begin_test(source)
        self.read_line("88.8", photo)
        self.decide(share)

    def decide(self, share: bool) -> None:
        """Keep the test on the sheet; the first time that also answers whether tests are shared."""
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
        """Return the quiet line about the server, with ordinary spaces."""
        return self.page.locator("footer.standing").inner_text().replace("\u00a0", " ")

    def another_tab(self, place: str = "test") -> "Opened":
        """Open the app once more on the same phone."""
        other = Opened(self._phone, self.context, self._pictures, self.context.new_page())
        other.go(place)
        return other

    def bring(self, what: Locator) -> None:
        """Scroll to something; a chart may be drawn anew meanwhile, then to the new one."""

        def there() -> bool:
            try:
                what.scroll_into_view_if_needed(timeout=2000)
            except Error:
                return False
            return True

        until(there)

    def picture(self, name: str) -> None:
        """Write a screenshot for people to look at."""
        self._pictures.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=self._pictures / f"{name}.png")


def known_as(app: Opened) -> str:
    """The contributor's number in the settings, once the phone has told."""
    number = app.page.get_by_text("Contributor ID").locator("xpath=following-sibling::dd")
    expect(number).to_have_text(re.compile("^[0-9a-f]{16}$"))
    return number.inner_text()
