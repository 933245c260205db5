"""An offline test in engines other than Chromium's; the proxy is switched off to be offline."""

import time
from collections.abc import Callable
from typing import Any

import pytest
from selenium.common.exceptions import (
    ElementClickInterceptedException,
    ElementNotInteractableException,
    JavascriptException,
    NoSuchElementException,
    StaleElementReferenceException,
)
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.remote.webelement import WebElement

from browser import stock
from browser.engines import ENGINES
from browser.proxy import Middleman, between
from helpers.server_process import Served

PATIENCE = 60
SOURCE = "Relais du Sureau noir"
# The page changed between finding an element and using it.
PASSING = (
    StaleElementReferenceException,
    ElementNotInteractableException,
    ElementClickInterceptedException,
    JavascriptException,
    NoSuchElementException,
)
NAMED = "normalize-space(.)"
FIELD = "self::input or self::textarea"


class Held:
    """The app on a phone with any engine; its methods are what a user does."""

    def __init__(self, driver: WebDriver, address: str) -> None:
        self._driver = driver
        self.address = address

    def go(self, place: str = "test") -> None:
        """Open a place of the app."""
        self._driver.get(f"{self.address}/#/{place}")
        self.find("//main//h1")

    def reload(self) -> None:
        """Reload as a person does: Firefox's driver would bypass the service worker."""
        # By then all entries are on disk, as they would be for a person.
        for _ in range(2):
            self.ask(f"{stock.OPENED} ({stock.TURN})().then(() => arguments[0](true));")
        self._driver.execute_script("globalThis.before = true; location.reload();")
        self.until(lambda: self._driver.execute_script("return globalThis.before === undefined"))
        self.find("//main//h1")

    def until(self, look: Callable[[], Any]) -> Any:
        """Wait until a function returns something; retry if the page changes meanwhile."""
        end = time.monotonic() + PATIENCE
        while True:
            try:
                found = look()
            except PASSING:
                found = None
            if found:
                return found
            assert time.monotonic() < end, f"it did not come about; the page says: {self.text()}"
            time.sleep(0.1)

    def find(self, path: str) -> WebElement:
        """Return the first visible match."""
        found: WebElement = self.until(
            lambda: next((one for one in self._driver.find_elements(By.XPATH, path) if one.is_displayed()), None)
        )
        return found

    def tap(self, name: str) -> None:
        """Tap a button or link by its words."""
        self.until(lambda: self._click(f"//main//*[self::button or self::a][contains({NAMED}, '{name}')]"))

    def choose(self, name: str) -> None:
        """Select one of a row of choices by the start of its text."""
        path = f"//main//label[starts-with({NAMED}, '{name}')]"
        self.until(lambda: self._click(path) and self._driver.find_element(By.XPATH, f"{path}//input").is_selected())

    def _click(self, path: str) -> bool:
        target = self.find(path)
        # A tap could hit the bar at the bottom, or something else while the sheet scrolls.
        self._driver.execute_script("arguments[0].scrollIntoView({ block: 'center', behavior: 'instant' })", target)
        place = target.rect
        time.sleep(0.2)
        if target.rect != place or target.id != self.find(path).id:
            return False
        target.click()
        return True

    def enter(self, name: str, value: str) -> None:
        """Type into a field found by its label."""

        def entered() -> bool:
            field = self.find(f"//main//label[contains({NAMED}, '{name}')]/following::*[{FIELD}][1]")
            self._driver.execute_script("arguments[0].focus(); arguments[0].select();", field)
            ActionChains(self._driver).send_keys(value).perform()
            return field.get_property("value") == value

        self.until(entered)

    def says(self, text: str) -> None:
        """Wait until the page contains this text."""
        self.until(lambda: text in self.text())

    def text(self) -> str:
        """Return the page's text."""
        return self._driver.find_element(By.TAG_NAME, "body").text

    def ask(self, script: str) -> Any:
        """Run an asynchronous script."""
        return self._driver.execute_async_script(script)


@pytest.mark.parametrize("engine", ENGINES)
def test_a_test_is_saved_offline_and_sent_later(server: Served, engine: str) -> None:
    with between(server.url) as line, ENGINES[engine]() as driver:
        app = Held(driver, line.url)
        app.go()
        app.until(lambda: app.ask("navigator.serviceWorker.ready.then(() => arguments[0](true));"))
        app.reload()
        app.until(lambda: driver.execute_script("return navigator.serviceWorker.controller?.state === 'activated'"))
        line.away = True
        app.reload()
        keep_a_test(app)
        app.go("log")
        app.reload()
        app.says(SOURCE)
        app.says("2 records not sent yet")
        assert pulled(line) == 0
        line.away = False
        app.tap("Sync now")
        app.until(lambda: pulled(line) == 2)
        app.says("Sent")
    with between(server.url) as line, ENGINES[engine]() as driver:
        app = Held(driver, line.url)
        app.go("sources")
        app.tap(SOURCE)
        app.says("82.8")
        app.find("//*[local-name()='svg'][contains(@class, 'chart-box')]")


def keep_a_test(app: Held) -> None:
    """Do a test with two runs and save it."""
    app.tap("Skip")
    app.enter("Name", SOURCE)
    app.choose("type it in")
    app.enter("Latitude, longitude", "45.302, 2.504")
    app.tap("Save this station")
    app.choose("pump")
    app.tap("Next")
    app.choose("Millilitres")
    app.tap("Save this tube")
    app.enter("Water temperature", "20")
    app.choose("measured")
    app.tap("Next")
    app.tap("I have read this")
    for run, reading in enumerate(("88.8", "89.0")):
        if run:
            app.tap("Start run 2")
        app.tap("Both filled")
        app.tap("Done, start")
        app.reload()
        app.tap("It has settled, skip the timer")
        app.tap("Enter the tube temperature")
        app.enter("Tube temperature", "20")
        app.enter("Line reading", reading)
        app.tap("Use this reading")
    app.says("82.8")
    app.tap("Save and share this test")
    app.says("Saved")


def pulled(line: Middleman) -> int:
    """Return the number of changes on the server."""
    return len(line.fetch("GET", "/api/v1/pull", {}, b"").answer()["changes"])
