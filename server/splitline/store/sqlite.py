"""SQLite by its driver: each connection is a thread, and a statement is one trip to it."""

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

# A batch of 500 changes some 500 pages, and SQLite's own 2 MB make it read and write some of them twice. The log is
# brought into the file at 16 MB: at SQLite's own 4 MB nearly every group of batches did so, with the same pages again;
# at 64 MB one push waits for a quarter of a second.
PRAGMAS = (
    "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA cache_size = -16384; PRAGMA wal_autocheckpoint = 4096"
)
IMMEDIATE = "BEGIN IMMEDIATE"


class _Sqlite(Connection):
    dialect: Dialect = sqlite.dialect()
    # One that only reads is a snapshot as it is.
    beginnings: ClassVar = {"read": "BEGIN", "snapshot": "BEGIN", "exclusive": IMMEDIATE, "write": IMMEDIATE}

    async def run(self, text: str) -> None:
        # What SQLite has undone by itself, as on a full disk, only the driver undoes without a fault.
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
    """Return a new connection that begins no transaction by itself; patience: for another one's lock, s."""
    driver = aiosqlite.connect(str(url.database), isolation_level=None)
    driver._thread.daemon = True  # So that a server that is told twice to stop does.
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
    """Use the write-ahead log. SQLite has no patience here where several connections turn a new file to it at once."""
    until = monotonic() + patience
    while True:
        try:
            await connection.run("PRAGMA journal_mode = WAL")
            return
        except OperationalError:
            if monotonic() > until:
                raise
        await asyncio.sleep(0.02)
