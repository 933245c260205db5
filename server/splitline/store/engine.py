"""The two engines, and turns for writers: reading transactions run side by side, writing ones one after the other.

That is what makes a sequence number final when it is given: numbers are committed in the order in which they were
taken, on SQLite by BEGIN IMMEDIATE, on PostgreSQL by the lock on the one row of `sequence`, both held to the commit.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from sqlite3 import OperationalError as SQLiteError
from time import monotonic, sleep
from typing import Any

from sqlalchemy import Connection as SyncConnection
from sqlalchemy import event, make_url, select
from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine

from splitline.errors import SplitlineError
from splitline.store import schema

Connection = AsyncConnection
"""What queries run on; only the store knows what it is."""

BUSY_SECONDS = 30
BEGIN = "splitline_begin"


class StoreUnavailable(SplitlineError):
    """The database did not answer, or was busy for too long; the same request may succeed later."""


class Store:
    """The database behind one server process."""

    def __init__(self, url: str) -> None:
        """url: with its driver, as `config.settings` gives it."""
        self.engine = _engine(url)
        self._turn = asyncio.Lock()

    @property
    def on_sqlite(self) -> bool:
        """Whether this is the embedded database."""
        return self.engine.dialect.name == "sqlite"

    @asynccontextmanager
    async def read(self) -> AsyncIterator[AsyncConnection]:
        """A transaction that only reads. Raises `StoreUnavailable`."""
        with _faults_told():
            async with self.engine.connect() as connection:
                yield connection

    @asynccontextmanager
    async def write(self) -> AsyncIterator[AsyncConnection]:
        """The writers' turn: nobody else writes until this commits. Raises `StoreUnavailable`."""
        async with self.exclusive() as connection:
            if not self.on_sqlite:
                await connection.execute(select(schema.sequence.c.value).with_for_update())
            yield connection

    @asynccontextmanager
    async def exclusive(self) -> AsyncIterator[AsyncConnection]:
        """A transaction that may write; on SQLite it holds the one write lock from its start.

        Coroutines of one process queue up in order; SQLite itself would have them poll, and starve some.
        """
        with _faults_told():
            if not self.on_sqlite:
                async with self.engine.begin() as connection:
                    yield connection
                return
            async with self._turn, self.engine.execution_options(**{BEGIN: "IMMEDIATE"}).begin() as connection:
                yield connection

    async def close(self) -> None:
        """Give all connections back."""
        await self.engine.dispose()


def _engine(url: str) -> AsyncEngine:
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite":
        return create_async_engine(parsed, pool_pre_ping=True)
    Path(str(parsed.database)).parent.mkdir(parents=True, exist_ok=True)
    engine = create_async_engine(parsed)
    event.listen(engine.sync_engine, "connect", _on_connect)
    event.listen(engine.sync_engine, "begin", _on_begin)
    return engine


def _on_connect(connection: Any, _record: Any) -> None:
    """Per connection: our own BEGIN (SQLAlchemy's recipe for aiosqlite), patience before anything that may wait."""
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
    _to_wal(cursor)
    for pragma in ("synchronous = FULL", "foreign_keys = ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _to_wal(cursor: Any) -> None:
    """Use the write-ahead log. SQLite has no patience here where several connections turn a new file to it at once."""
    until = monotonic() + BUSY_SECONDS
    while True:
        try:
            cursor.execute("PRAGMA journal_mode = WAL")
            return
        except SQLiteError:
            if monotonic() > until:
                raise
            sleep(0.02)


def _on_begin(connection: SyncConnection) -> None:
    connection.exec_driver_sql(f"BEGIN {connection.get_execution_options().get(BEGIN, 'DEFERRED')}")


class _faults_told:  # noqa: N801 - reads as a with-statement
    """Turns what a database says when it cannot serve into `StoreUnavailable`; bugs pass."""

    def __enter__(self) -> None:
        return None

    def __exit__(self, _kind: object, fault: BaseException | None, _trace: object) -> None:
        unreachable = isinstance(fault, OperationalError | InterfaceError | PoolTimeout | ConnectionError)
        # A database that does not exist, or that is just shutting down, has no class of its own, and no statement.
        refused = type(fault) is DBAPIError and (fault.connection_invalidated or fault.statement is None)
        if unreachable or refused:
            raise StoreUnavailable(f"the database does not answer: {str(fault).splitlines()[0]}") from fault
