"""What every test may ask for: a real PostgreSQL server and a real browser, each started or found once."""

import importlib.util
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from system import chromium_path, postgresql_server

# A busy machine is no fault of what is tested.
settings.register_profile("at_any_speed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("at_any_speed")
TOP = Path(__file__).parents[1]


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
    node.install(with_tests=True)
    return node
