"""A real server with the production build, shared by the tests of a process, and phones on it."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, sync_playwright

from browser.phone import Phone
from helpers.server_process import UNLIMITED, Served, served
from helpers.system import desktop_chromium_path
from splitline.store.schema import metadata

PICTURES = Path(__file__).parents[1] / "pictures"
# What a phone is before anybody has used it: the app is there, its storage is not.
UNUSED = ("IndexedDB", "Local Storage", "Session Storage", "WebStorage")


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """Playwright for Python, driving the system's Chromium; its event loop must be gone before other tests run."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, Path]]:
    """One server process on a SQLite database, and its folder."""
    folder = tmp_path_factory.mktemp("served")
    with served(folder, *UNLIMITED) as running:
        yield running, folder


@pytest.fixture
def server(shared_server: tuple[Served, Path]) -> Iterator[Served]:
    """The shared server with nothing in its database."""
    running, folder = shared_server
    yield running
    empty(folder)


def empty(folder: Path) -> None:
    """Delete what a test left. Numbers of changes go on: pages that the server remembers are of numbers past."""
    with closing(sqlite3.connect(folder / "splitline.sqlite3", timeout=60)) as base, base:
        for table in reversed(metadata.sorted_tables):
            if table.name not in ("sequence", "refreshing"):
                base.execute(f"DELETE FROM {table.name}")
    shutil.rmtree(folder / "photos", ignore_errors=True)


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server with the invented demo, shared: its tests add nothing that others look for."""
    with served(tmp_path_factory.mktemp("club"), "--demo", *UNLIMITED) as running:
        yield running


@pytest.fixture(scope="module")
def installed(
    playwright: Playwright,
    chromium: Path,
    shared_server: tuple[Served, Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """A profile with the app installed from the shared server, and nobody's data."""
    profile = tmp_path_factory.getbasetemp() / "installed"
    if not profile.exists():
        running, _ = shared_server
        with Phone(playwright, chromium, profile, running.url, PICTURES).open() as app:
            app.go()
            app.installed()
        for name in UNUSED:
            shutil.rmtree(profile / "Default" / name, ignore_errors=True)
    return profile


@pytest.fixture
def phone(playwright: Playwright, chromium: Path, installed: Path, tmp_path: Path) -> Callable[..., Phone]:
    """Make a phone: `phone("driver", address)`; the same name again is the same phone. A third word is its language."""

    def make(name: str, address: str, language: str = "en-GB") -> Phone:
        profile = tmp_path / name
        if not profile.exists():
            shutil.copytree(installed, profile)
        return Phone(playwright, chromium, profile, address, PICTURES, language)

    return make


@pytest.fixture
def new_phone(playwright: Playwright, chromium: Path, tmp_path: Path) -> Callable[[str, str], Phone]:
    """Make a phone that has never seen the app."""
    return lambda name, address: Phone(playwright, chromium, tmp_path / name, address, PICTURES)


@pytest.fixture
def desktop_phone(playwright: Playwright, tmp_path: Path) -> Callable[..., Phone]:
    """The same in the whole of Chromium, for what its shell has not: settings, a film as its camera, own pages."""

    def make(name: str, address: str, language: str = "en-GB") -> Phone:
        return Phone(playwright, desktop_chromium_path(), tmp_path / name, address, PICTURES, language)

    return make
