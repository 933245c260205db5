"""Databases for the server's tests: each test that stores something runs on SQLite and on PostgreSQL."""

import asyncio
import shutil
from collections.abc import AsyncIterator, Iterator, Sequence
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

import asyncpg
import pytest
from litestar.testing import AsyncTestClient
from msgspec import Raw

from helpers.api_client import OPERATIONS
from splitline.answers import Answer
from splitline.app import create
from splitline.config import Settings, settings
from splitline.figures.schedule import bring_up
from splitline.figures.worker import Here
from splitline.identity import Identity
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store
from splitline.store.migrate import migrate
from splitline.store.schema import metadata

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
ENGINES = ("sqlite", "postgresql")
numbers = count()


async def statement(url: str, text: str) -> None:
    connection = await asyncpg.connect(url.replace("+asyncpg", ""))
    try:
        await connection.execute(text)
    finally:
        await connection.close()


async def migrated(url: str) -> None:
    store = Store(url)
    await migrate(store)
    await store.close()


def with_driver(url: str) -> str:
    return settings({"database": url}, {}).database


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated SQLite database file."""
    path = tmp_path_factory.mktemp("migrated") / "splitline.sqlite3"
    asyncio.run(migrated(with_driver(f"sqlite:///{path}")))
    return path


@pytest.fixture(scope="session")
def migrated_database(postgresql_url: str) -> str:
    """The URL of a migrated PostgreSQL database; each user empties it afterwards."""
    asyncio.run(statement(postgresql_url, "CREATE DATABASE migrated"))
    url = with_driver(sibling(postgresql_url, "migrated"))
    asyncio.run(migrated(url))
    return url


def sibling(url: str, name: str) -> str:
    """The URL of another database on the same server."""
    before, _, after = url.partition("?")
    return before.rsplit("/", 1)[0] + f"/{name}" + (f"?{after}" if after else "")


@pytest.fixture(params=ENGINES)
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a database without tables."""
    if request.param == "sqlite":
        yield with_driver(f"sqlite:///{tmp_path / 'empty.sqlite3'}")
        return
    server, name = request.getfixturevalue("postgresql_url"), f"empty_{next(numbers)}"
    asyncio.run(statement(server, f"CREATE DATABASE {name}"))
    yield with_driver(sibling(server, name))
    asyncio.run(statement(server, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)"))


@pytest.fixture(params=ENGINES)
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a database with empty tables."""
    if request.param == "sqlite":
        path = tmp_path / "splitline.sqlite3"
        shutil.copy(request.getfixturevalue("migrated_file"), path)
        yield with_driver(f"sqlite:///{path}")
        return
    url = request.getfixturevalue("migrated_database")
    yield url
    tables = [table.name for table in reversed(metadata.sorted_tables) if table.name not in ("sequence", "refreshing")]
    emptied = "; ".join(f"DELETE FROM {name}" for name in tables)  # faster than TRUNCATE for a few rows
    asyncio.run(statement(url, f"{emptied}; UPDATE sequence SET value = 0, invented = false, figures = 0"))


@pytest.fixture
async def store(database_url: str) -> AsyncIterator[Store]:
    store = Store(database_url)
    yield store
    await store.close()


@pytest.fixture
def photos(store: Store, tmp_path: Path) -> Photos:
    return Photos(str(tmp_path / "photos"), store)


class Followed(Intake):
    """An intake that updates the figures after each batch, as happens on a quiet server."""

    async def receive(
        self,
        identity: Identity,
        items: Sequence[bytes | Raw],
        received_at: datetime,
        sent_at: datetime | None = None,
    ) -> tuple[Answer, ...]:
        answers = await super().receive(identity, items, received_at, sent_at)
        await bring_up(self.store, lambda: received_at)
        return answers


@pytest.fixture
def intake(store: Store, photos: Photos) -> Intake:
    return Followed(store, regions(), photos)


@pytest.fixture
def chosen(database_url: str, tmp_path: Path) -> Settings:
    return settings({"data": tmp_path, "database": database_url, "operations": OPERATIONS}, {})


@pytest.fixture
async def client(chosen: Settings) -> AsyncIterator[AsyncTestClient[Any]]:
    """A client of the application in this process, whose clock always says NOW."""
    async with AsyncTestClient(create(chosen, lambda: NOW, Here())) as client:
        yield client
