"""SQLite, through aiosqlite: each connection is a thread, and each statement one round trip to it."""

import asyncio
from collections.abc import AsyncIterator, Sequence
from sqlite3 import OperationalError
from time import monotonic
from typing import Any, ClassVar

import aiosqlite
from sqlalchemy import URL
from sqlalchemy.dialects import sqlite
from sqlalchemy.engine import Dialect

from splitline.store.driver import PAGE, Connection, Row

# A batch of 500 records changes some 500 pages; with SQLite's default cache of 2 MB some are read and written twice.
# The log is checkpointed at 16 MB: at the default 4 MB nearly every group of batches did so, writing the same pages
# again; at 64 MB one push waits for a quarter of a second.
PRAGMAS = (
    "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA cache_size = -16384; PRAGMA wal_autocheckpoint = 4096"
)
IMMEDIATE = "BEGIN IMMEDIATE"


class _Sqlite(Connection):
    dialect: Dialect = sqlite.dialect()
    # Every read transaction is a snapshot.
    beginnings: ClassVar = {"read": "BEGIN", "snapshot": "BEGIN", "exclusive": IMMEDIATE, "write": IMMEDIATE}

    async def run(self, text: str) -> None:
        # After an automatic rollback, as on a full disk, only the driver's own rollback raises no error.
        await (self.driver.rollback() if text == "ROLLBACK" else self.driver.execute_fetchall(text))

    async def rows(self, text: str, values: Row = ()) -> Sequence[Row]:
        return list(await self.driver.execute_fetchall(text, values))

    async def insert(self, text: str, columns: Sequence[Sequence[Any]]) -> None:
        await self.driver.executemany(text, zip(*columns, strict=True))

    async def pages(self, text: str, values: Row) -> AsyncIterator[Sequence[Row]]:
        async with self.driver.execute(text, values) as cursor:
            while page := list(await cursor.fetchmany(PAGE)):
                yield page


async def opened(url: URL, patience: float) -> Connection:
    """Return a new connection that never begins transactions implicitly; patience: lock timeout, s."""
    driver = aiosqlite.connect(str(url.database), isolation_level=None)
    driver._thread.daemon = True  # So that a server stops at the second signal.
    connection = _Sqlite(await driver)
    try:
        await connection.run(f"PRAGMA busy_timeout = {patience * 1000:.0f}")
        await _to_wal(connection, patience)
        await driver.executescript(PRAGMAS)
    except BaseException:
        await driver.close()
        raise
    return connection


async def _to_wal(connection: Connection, patience: float) -> None:
    """Switch to the write-ahead log. SQLite's timeout does not apply if several connections switch a new file."""
    until = monotonic() + patience
    while True:
        try:
            await connection.run("PRAGMA journal_mode = WAL")
            return
        except OperationalError:
            if monotonic() > until:
                raise
        await asyncio.sleep(0.02)
