"""What every test may ask for: a real PostgreSQL server and a real browser, each started or found once."""

import importlib.util
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from helpers.system import chromium_path, one_at_a_time, postgresql_server

TOP = Path(__file__).parents[1]
TESTS = TOP / "tests"
# A busy machine is no fault of what is tested.
settings.register_profile("full", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("quick", settings.get_profile("full"), max_examples=20)
# Servers and commands start some hundred times: what they import is compiled once.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# A shell that runs this in the background has Ctrl-C ignored, and so would every server that is to be ended by it.
signal.signal(signal.SIGINT, signal.default_int_handler)

# `pytest -m quick`: these, without what starts a server, a browser or PostgreSQL.
QUICK = ("house/test_guards.py", "outside/", "properties/", "server/")
NOT_QUICK = (
    "outside/test_budget.py",
    "properties/test_twins.py",
    "server/api/test_metrics.py",
    "server/api/test_operations.py",
    "server/api/test_throttle.py",
    "server/api/test_tracing.py",
    "server/commands/",
    "server/deploy/",
    "server/archive/test_backup.py",
    "server/serving/test_connections.py",
    "server/test_logs.py",
    "server/photos/test_memory.py",
    "server/serving/test_serve.py",
)
# These begin first: a few processes share the files, and none is to wait long for the others at the end.
LONG = (
    "browser/test_sheet.py",
    "house/test_tools.py",
    "server/deploy/test_container.py",
    "photo/",
    "browser/test_other_browsers.py",
    "server/archive/test_backup.py",
    "server/serving/test_serve.py",
    "browser/test_versions.py",
    "browser/test_layout.py",
    "faults/",
    "browser/",
    "security/",
    "server/commands/",
    "outside/test_budget.py",
    "properties/",
)


def pytest_configure(config: pytest.Config) -> None:
    """Fewer random cases in the quick run."""
    settings.load_profile("quick" if config.option.markexpr == "quick" else "full")


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave files alone of which the quick run has nothing: importing them takes time."""
    is_file = collection_path.suffix == ".py" and config.option.markexpr == "quick"
    return True if is_file and not has_quick(collection_path) else None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is quick, and put first what is long."""
    for item in items:
        if is_quick(item):
            item.add_marker(pytest.mark.quick)
    items.sort(
        key=lambda item: next((at for at, name in enumerate(LONG) if place(item.path).startswith(name)), len(LONG))
    )


def is_quick(item: pytest.Item) -> bool:
    """Whether a test belongs to the quick run: rules, science, guards, and what stores anything on SQLite."""
    needs = set(getattr(item, "fixturenames", ()))
    is_slow = "[postgresql" in item.nodeid or needs & {"postgresql_url", "chromium", "node"}
    return has_quick(item.path) and not is_slow


def has_quick(path: Path) -> bool:
    """Whether a file may have quick tests."""
    return place(path).startswith(QUICK) and not place(path).startswith(NOT_QUICK)


def place(path: Path) -> str:
    """A test file's place in the folder of the tests."""
    return path.relative_to(TESTS).as_posix()


@pytest.fixture(scope="session")
def postgresql_url() -> Iterator[str]:
    """URL of the database `postgres` of a throw-away server; its user may create other databases."""
    with postgresql_server() as url:
        yield url


@pytest.fixture(scope="session")
def chromium() -> Path:
    """Where Chromium is."""
    return chromium_path()


@pytest.fixture(scope="session")
def hook() -> Any:
    """The module that pip runs for a build: its node is the one that the tests use."""
    specification = importlib.util.spec_from_file_location("splitline_build_hook", TOP / "pwa" / "build" / "hook.py")
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def node(hook: Any) -> Any:
    """Node in pwa/, with everything that the lock file lists for tests."""
    node = hook.Node(TOP / "pwa")
    with one_at_a_time():
        node.install(with_tests=True)
    return node
