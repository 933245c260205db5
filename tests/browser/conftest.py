"""A real server process with the production build, and phones on it."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, sync_playwright

from browser.phone import Phone
from serving import Served, served

PICTURES = Path(__file__).parents[1] / "pictures"


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """Playwright for Python, driving the system's Chromium; its event loop must be gone before other tests run."""
    with sync_playwright() as running:
        yield running


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    """`splitline serve` in a process of its own, with an empty SQLite database."""
    with served(tmp_path / "data") as running:
        yield running


@pytest.fixture
def phone(playwright: Playwright, chromium: Path, tmp_path: Path) -> Callable[..., Phone]:
    """Make a phone: `phone("driver", address)`; the same name again is the same phone. A third word is its language."""

    def make(name: str, address: str, language: str = "en-GB") -> Phone:
        return Phone(playwright, chromium, tmp_path / name, address, PICTURES, language)

    return make
