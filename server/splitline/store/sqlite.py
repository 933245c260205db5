"""SQLite by its driver: each connection is a thread, and a statement is one trip to it."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from pathlib import Path
from sqlite3 import Error, OperationalError
from time import monotonic
from typing import TypeVar

import aiosqlite
from sqlalchemy import URL
from sqlalchemy.dialects import sqlite
from sqlalchemy.engine import Dialect

from splitline.store.driver import PAGE, Row

T = TypeVar("T")

# A batch of 500 changes some 500 pages, and SQLite's own 2 MB make it read and write some of them twice.
PRAGMAS = "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA cache_size = -16384"
# Connections that stay open: opening one for a moment takes longer than what is asked of it.
MOST = 15
BEGIN = {"read": "BEGIN", "snapshot": "BEGIN", "exclusive": "BEGIN IMMEDIATE", "write": "BEGIN IMMEDIATE"}
"""How the kinds of transactions begin: one that only reads is a snapshot as it is."""


class SqliteConnection:
    """A connection; see `driver.Connection`."""

    dialect: Dialect = sqlite.dialect()

    def __init__(self, driver: aiosqlite.Connection) -> None:
        self.driver = driver
        self._begun = False

    async def rows(self, text: str, values: Row) -> Sequence[Row]:
        """Carry out a statement and return its rows."""
        return list(await self.driver.execute_fetchall(text, values))

    async def many(self, text: str, rows: Sequence[Row]) -> None:
        """Carry out a statement once for each row of values."""
        await self.driver.executemany(text, rows)

    async def pages(self, text: str, values: Row) -> AsyncIterator[Sequence[Row]]:
        """Give out the rows of a statement, `PAGE` at a time."""
        async with self.driver.execute(text, values) as cursor:
            while page := list(await cursor.fetchmany(PAGE)):
                yield page

    async def begin(self, kind: str) -> None:
        """Begin a transaction."""
        self._begun = True
        await self.driver.execute_fetchall(BEGIN[kind])

    async def commit(self) -> None:
        """Keep what was written."""
        await self.driver.commit()
        self._begun = False

    async def rollback(self) -> None:
        """Undo what was not committed, if anything was begun."""
        if self._begun:
            await self.driver.rollback()
            self._begun = False


class SqlitePool:
    """Connections that are lent. The one given back last goes out first: few hold much of the file in memory."""

    connection = SqliteConnection

    def __init__(self, url: URL, patience: float) -> None:
        """patience: how long a connection waits for another one's lock, s."""
        self._path = Path(str(url.database))
        self._path.parent.mkdir(parents=True, exist_ok=True)
        self._patience = patience
        self._kept: list[SqliteConnection] = []
        self._room = asyncio.Semaphore(MOST)
        self._closed = False

    async def reach(self, act: Callable[[SqliteConnection], Awaitable[T]]) -> tuple[SqliteConnection, T]:
        """Lend a connection, and return what the first act on it gave."""
        async with asyncio.timeout(self._patience):
            await self._room.acquire()
        try:
            connection = self._kept.pop() if self._kept else SqliteConnection(await self.opened())
        except BaseException:
            self._room.release()
            raise
        try:
            return connection, await act(connection)
        except BaseException:
            await self.give_back(connection)
            raise

    async def give_back(self, connection: SqliteConnection) -> None:
        """Take a connection back; what was begun on it and not committed is undone."""
        try:
            await connection.rollback()
            if not self._closed:
                self._kept.append(connection)
                return
        except Error:
            pass  # It is of no use any more.
        finally:
            self._room.release()
        await connection.driver.close()

    async def opened(self) -> aiosqlite.Connection:
        """Return a new connection of the driver, set up, that begins no transaction by itself."""
        driver = aiosqlite.connect(self._path, isolation_level=None)
        driver._thread.daemon = True  # So that a server that is told twice to stop does.
        await driver
        try:
            await driver.execute_fetchall(f"PRAGMA busy_timeout = {self._patience * 1000:.0f}")
            await self._to_wal(driver)
            await driver.executescript(PRAGMAS)
        except BaseException:
            await driver.close()
            raise
        return driver

    async def _to_wal(self, driver: aiosqlite.Connection) -> None:
        """Use the write-ahead log. SQLite has no patience here where several turn a new file to it at once."""
        until = monotonic() + self._patience
        while True:
            try:
                await driver.execute_fetchall("PRAGMA journal_mode = WAL")
                return
            except OperationalError:
                if monotonic() > until:
                    raise
            await asyncio.sleep(0.02)

    async def close(self) -> None:
        """Close all connections; those that are lent follow when they are given back."""
        self._closed = True
        while self._kept:
            await self._kept.pop().driver.close()
