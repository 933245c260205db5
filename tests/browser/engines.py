"""Browser engines other than Chromium's, driven by WebDriver."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

from selenium import webdriver
from selenium.webdriver.remote.webdriver import WebDriver

from browser import fonts
from helpers.programs import firefox_path, geckodriver_path, webkit_paths, xvfb_path

SCREEN = (360, 800)


@contextmanager
def display() -> Iterator[str]:
    """Start a virtual screen and yield its name."""
    reading, writing = os.pipe()
    command = [xvfb_path(), "-displayfd", str(writing), "-screen", "0", "1400x1000x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL)
    os.close(writing)
    try:
        with os.fdopen(reading) as said:
            yield f":{said.readline().strip()}"
    finally:
        server.terminate()
        server.wait(30)


@contextmanager
def webkit() -> Iterator[WebDriver]:
    """Start WebKitGTK's MiniBrowser in the C locale: the app must cope without a language."""
    driver, browser = webkit_paths()
    options = webdriver.WebKitGTKOptions()
    options.binary_location = str(browser)
    options.add_argument("--automation")
    with display() as screen:
        environment = {**os.environ, "DISPLAY": screen, "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8"}
        environment |= {**fonts.ONLY_THESE, "WEBKIT_DISABLE_COMPOSITING_MODE": "1", "GDK_BACKEND": "x11"}
        service = webdriver.webkitgtk.service.Service(str(driver), env=environment)
        with webdriver.WebKitGTK(options=options, service=service) as running:
            running.set_window_size(*SCREEN)
            yield running


@contextmanager
def firefox() -> Iterator[WebDriver]:
    """Start Firefox without a screen."""
    options = webdriver.FirefoxOptions()
    options.binary_location = str(firefox_path())
    options.add_argument("-headless")
    service = webdriver.firefox.service.Service(str(geckodriver_path()), env={**os.environ, **fonts.ONLY_THESE})
    with webdriver.Firefox(options=options, service=service) as running:
        running.set_window_size(*SCREEN)
        yield running


ENGINES = {"webkit": webkit, "firefox": firefox}
