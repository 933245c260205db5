"""Fixtures: a real server with the production build, shared by a process's tests, and phones that use it."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, sync_playwright

from browser.phone import Phone
from helpers.programs import desktop_chromium_path
from helpers.server_process import UNLIMITED, Served, served
from splitline.store.schema import metadata

HERE = Path(__file__).parent
PICTURES = HERE.parent / "pictures"
DRIVER = pytest.StashKey[Playwright]()
# A phone that nobody has used: the app is installed, its storage is empty.
UNUSED = ("IndexedDB", "Local Storage", "Session Storage", "WebStorage")


@pytest.fixture(scope="module")
def playwright(request: pytest.FixtureRequest) -> Playwright:
    """Playwright, driving the system's Chromium, shared by the browser tests of a process."""
    stash = request.config.stash
    if DRIVER not in stash:
        stash[DRIVER] = sync_playwright().start()
    return stash[DRIVER]


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None) -> None:
    """Stop Playwright before tests outside this folder run: its event loop would be in their way."""
    if DRIVER in item.config.stash and (nextitem is None or not nextitem.path.is_relative_to(HERE)):
        item.config.stash[DRIVER].stop()
        del item.config.stash[DRIVER]


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, Path]]:
    """One server process on a SQLite database, and its folder."""
    folder = tmp_path_factory.mktemp("served")
    with served(folder, *UNLIMITED) as running:
        yield running, folder


@pytest.fixture
def server(shared_server: tuple[Served, Path]) -> Iterator[Served]:
    """The shared server with an empty database."""
    running, folder = shared_server
    yield running
    empty(folder)


def empty(folder: Path) -> None:
    """Delete all rows. Sequence numbers continue, because the server has cached pages with earlier ones."""
    with closing(sqlite3.connect(folder / "splitline.sqlite3", timeout=60)) as base, base:
        for table in reversed(metadata.sorted_tables):
            if table.name not in ("sequence", "refreshing"):
                base.execute(f"DELETE FROM {table.name}")
    shutil.rmtree(folder / "photos", ignore_errors=True)


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A shared server with the demo. Its tests add nothing that other tests look for."""
    with served(tmp_path_factory.mktemp("club"), "--demo", *UNLIMITED) as running:
        yield running


@pytest.fixture(scope="module")
def installed(
    playwright: Playwright,
    chromium: Path,
    shared_server: tuple[Served, Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """A browser profile with the app installed from the shared server and no data."""
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
    """Make a phone: `phone("driver", address)`; one name is one phone. The third argument is the language."""

    def make(name: str, address: str, language: str = "en-GB") -> Phone:
        profile = tmp_path / name
        if not profile.exists():
            shutil.copytree(installed, profile)
        return Phone(playwright, chromium, profile, address, PICTURES, language)

    return make


@pytest.fixture
def new_phone(playwright: Playwright, chromium: Path, tmp_path: Path) -> Callable[[str, str], Phone]:
    """Make a phone without the app."""
    return lambda name, address: Phone(playwright, chromium, tmp_path / name, address, PICTURES)


@pytest.fixture
def desktop_phone(playwright: Playwright, tmp_path: Path) -> Callable[..., Phone]:
    """Make a phone in the full Chromium, which has internal pages."""

    def make(name: str, address: str, language: str = "en-GB") -> Phone:
        return Phone(playwright, desktop_chromium_path(), tmp_path / name, address, PICTURES, language)

    return make
