"""Fixtures for all tests: a real PostgreSQL server, a real browser and Node, each started or found once."""

import gc
import importlib.util
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from helpers.programs import MissingFromSystem, chromium_path, install_missing, one_at_a_time
from helpers.system import postgresql_server

TOP = Path(__file__).parents[1]
TESTS = TOP / "tests"
# No deadlines: the machine may be busy.
settings.register_profile("full", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("quick", settings.get_profile("full"), max_examples=20)
# Servers and commands start hundreds of times, so keep their compiled modules.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
# Output that is always flushed would hide a command that forgets to.
os.environ.pop("PYTHONUNBUFFERED", None)
# The test processes fill the cores. Set before anything imports numpy.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# A background shell ignores Ctrl-C, and servers started from it would too; tests stop servers with Ctrl-C.
signal.signal(signal.SIGINT, signal.default_int_handler)

# `pytest -m quick` runs these, except tests that start a server, a browser or PostgreSQL.
QUICK = ("house/test_guards.py", "outside/", "properties/", "server/")
NOT_QUICK = (
    "outside/test_budget.py",
    "properties/test_counterparts.py",
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
# These start first: with several processes, a long file started last would keep the others waiting.
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
    """Run fewer random cases in the quick run. Install missing programs for a run of all tests in several processes."""
    option = config.option
    settings.load_profile("quick" if option.markexpr == "quick" else "full")
    is_whole = config.args_source is config.ArgsSource.TESTPATHS and not option.markexpr
    if is_whole and option.numprocesses and not hasattr(config, "workerinput"):
        Thread(target=install_if_allowed).start()


def install_if_allowed() -> None:
    """Install missing programs. If that fails, the tests that need them say so."""
    with suppress(MissingFromSystem):
        install_missing()


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Skip files without quick tests in the quick run: importing them takes time."""
    is_file = collection_path.suffix == ".py" and config.option.markexpr == "quick"
    return True if is_file and not has_quick(collection_path) else None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark quick tests and put long ones first."""
    for item in items:
        if is_quick(item):
            item.add_marker(pytest.mark.quick)
    items.sort(
        key=lambda item: next((at for at, name in enumerate(LONG) if place(item.path).startswith(name)), len(LONG))
    )


def pytest_collection_finish() -> None:
    """Leave the modules and the tests themselves out of later garbage collections."""
    gc.collect()
    gc.freeze()


def is_quick(item: pytest.Item) -> bool:
    """Whether a test is in the quick run: rules, science, guards, and storage on SQLite."""
    needs = set(getattr(item, "fixturenames", ()))
    is_slow = "[postgresql" in item.nodeid or needs & {"postgresql_url", "chromium", "node"}
    return has_quick(item.path) and not is_slow


def has_quick(path: Path) -> bool:
    """Whether a file can contain quick tests."""
    return place(path).startswith(QUICK) and not place(path).startswith(NOT_QUICK)


@cache
def place(path: Path) -> str:
    """A test file's path within tests/."""
    return path.relative_to(TESTS).as_posix()


@pytest.fixture(scope="session")
def postgresql_url() -> Iterator[str]:
    """URL of the database `postgres` on a temporary server; its user may create other databases."""
    with postgresql_server() as url:
        yield url


@pytest.fixture(scope="session")
def chromium() -> Path:
    """Path of Chromium."""
    return chromium_path()


@pytest.fixture(scope="session")
def hook() -> Any:
    """The build hook that pip runs; the tests use its Node."""
    specification = importlib.util.spec_from_file_location("splitline_build_hook", TOP / "pwa" / "build" / "hook.py")
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def node(hook: Any) -> Any:
    """Node in pwa/, with all packages of the lock file, including those for tests."""
    node = hook.Node(TOP / "pwa")
    with one_at_a_time():
        node.install(with_tests=True)
    return node
