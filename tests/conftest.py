"""What every test may ask for: a real PostgreSQL server and a real browser, each started or found once."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from system import chromium_path, postgresql_server


@pytest.fixture(scope="session")
def postgresql_url() -> Iterator[str]:
    """URL of the database `postgres` of a throw-away server; its user may create other databases."""
    with postgresql_server() as url:
        yield url


@pytest.fixture(scope="session")
def chromium() -> Path:
    """Where Chromium is."""
    return chromium_path()
