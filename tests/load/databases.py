"""The speed of bare databases with the same batches: one durable transaction per batch.

With a thin table (unique id, index on source and time, the record as JSON), and with the server's own rows and
indexes, read from its running database.
"""

import asyncio
import sqlite3
import time
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import asyncpg
from msgspec import json

from load.calls import cpu_seconds
from load.notebooks import Batch

Rows = Sequence[Sequence[Any]]
Batches = Sequence[Rows]
BATCH, FILLING, PAGE = 50, 500, 500
TABLE = "tests"
MOST = 40_000
"""The most rows copied from the server."""
THIN = (
    "CREATE TABLE thin (id TEXT PRIMARY KEY, source TEXT NOT NULL, at TEXT NOT NULL, record TEXT NOT NULL)",
    "CREATE INDEX thin_source_at ON thin (source, at)",
)
NEWER = "ON CONFLICT (id) DO UPDATE SET source = excluded.source, at = excluded.at, record = excluded.record"


@dataclass(frozen=True)
class Speed:
    """Rows and batches per second; computing: processor time of database and client, ms per batch."""

    records: float
    calls: float
    computing: float


class Clock:
    """A stopwatch that starts at once."""

    def __init__(self, postmaster: int | None = None) -> None:
        self._postmaster = postmaster
        self._start, self._before = time.perf_counter(), self._computed()

    def spent(self) -> float:
        """Return the time since its start, s."""
        return time.perf_counter() - self._start

    def speed(self, done: Sequence[int]) -> Speed:
        """Return the speed of some batches. done: rows of each."""
        spent, computed = self.spent(), self._computed() - self._before
        return Speed(sum(done) / spent, len(done) / spent, 1000 * computed / max(1, len(done)))

    def _computed(self) -> float:
        return time.process_time() + (cpu_seconds(self._postmaster) if self._postmaster else 0.0)


def thin_rows(batch: Batch) -> Rows:
    """Return the rows of a batch; of duplicates, the last."""
    rows = {test["id"]: (test["id"], test["source"], test["sampled_at"]) for test in batch.records}
    texts = {test["id"]: json.encode(test).decode() for test in batch.records}
    return [(*row, texts[key]) for key, row in rows.items()]


class Sqlite:
    """Plain `sqlite3`: WAL, synchronous FULL."""

    connections = (1,)
    name = "sqlite3"

    def __init__(self, database: str, folder: Path) -> None:
        """database: the server's file."""
        self._database, self._folder = database, folder

    async def thin(self, fill: Batches, timed: Batches, seconds: float, _connections: int) -> Speed:
        """Return how fast rows go into the thin table, after filling it."""
        return self._rate("thin", THIN, f"INSERT INTO thin VALUES (?, ?, ?, ?) {NEWER}", (fill, timed), seconds)

    async def own(self, seconds: float, _connections: int) -> Speed:
        """Return how fast the server's own rows go into a copy of its table, the first half not timed."""
        with closing(sqlite3.connect(f"file:{self._database}?mode=ro", uri=True)) as source:
            wanted = "SELECT sql FROM sqlite_master WHERE tbl_name = ? AND sql IS NOT NULL ORDER BY type = 'index'"
            tables = [sql for (sql,) in source.execute(wanted, (TABLE,))]
            rows = source.execute(f"SELECT * FROM {TABLE} ORDER BY sequence LIMIT {MOST}").fetchall()
        insert = f"INSERT INTO {TABLE} VALUES ({', '.join('?' * len(rows[0]))})"
        return self._rate("own", tables, insert, parts(rows), seconds)

    def _rate(
        self, name: str, tables: Sequence[str], insert: str, work: tuple[Batches, Batches], seconds: float
    ) -> Speed:
        database = self._folder / f"{name}-{time.time_ns()}.sqlite3"
        with closing(sqlite3.connect(database, isolation_level=None)) as target:
            target.execute("PRAGMA journal_mode = WAL")
            target.execute("PRAGMA synchronous = FULL")
            for sql in tables:
                target.execute(sql)
            _insert(target, insert, work[0], float("inf"))
            return _insert(target, insert, work[1], seconds)


def parts(rows: Rows) -> tuple[list[Rows], list[Rows]]:
    """Return the batches to fill with and those to measure, half of the rows each."""
    first, rest = rows[: len(rows) // 2], rows[len(rows) // 2 :]
    fill = [first[at : at + FILLING] for at in range(0, len(first), FILLING)]
    return fill, [rest[at : at + BATCH] for at in range(0, len(rest), BATCH)]


def _insert(target: sqlite3.Connection, insert: str, batches: Batches, seconds: float) -> Speed:
    clock, done = Clock(), []
    for rows in batches:
        target.execute("BEGIN IMMEDIATE")
        target.executemany(insert, rows)
        target.execute("COMMIT")
        done.append(len(rows))
        if clock.spent() > seconds:
            break
    return clock.speed(done)


class Postgresql:
    """asyncpg with some connections."""

    connections = (1, 8)
    name = "asyncpg"

    def __init__(self, url: str, postmaster: int) -> None:
        """url: of the server's database. postmaster: PostgreSQL's process."""
        self._url, self._postmaster = url, postmaster

    async def thin(self, fill: Batches, timed: Batches, seconds: float, connections: int) -> Speed:
        """Return how fast rows go into the thin table, after filling it."""
        await self._execute(*THIN)
        insert = f"INSERT INTO thin VALUES ($1, $2, $3, $4) {NEWER}"
        await self._insert(insert, fill, float("inf"), 1)
        speed = await self._insert(insert, timed, seconds, connections)
        await self._execute("DROP TABLE thin")
        return speed

    async def own(self, seconds: float, connections: int) -> Speed:
        """Return how fast the server's own rows go into a copy of its table, the first half not timed."""
        await self._execute(f"CREATE TABLE own (LIKE {TABLE} INCLUDING ALL)")
        database = await asyncpg.connect(self._url)
        rows = [tuple(row) for row in await database.fetch(f"SELECT * FROM {TABLE} ORDER BY sequence LIMIT {MOST}")]
        await database.close()
        holes = ", ".join(f"${place}" for place in range(1, len(rows[0]) + 1))
        insert = f"INSERT INTO own VALUES ({holes})"
        fill, timed = parts(rows)
        await self._insert(insert, fill, float("inf"), 1)
        speed = await self._insert(insert, timed, seconds, connections)
        await self._execute("DROP TABLE own")
        return speed

    async def selected(self, seconds: float, connections: int) -> float:
        """Return rows/s of a plain SELECT of pages of the server's rows, in their order."""
        start = time.perf_counter()
        until = start + seconds
        done = sum(await asyncio.gather(*(self._pages(until) for _ in range(connections))))
        return done / (time.perf_counter() - start)

    async def _pages(self, until: float) -> int:
        database = await asyncpg.connect(self._url)
        select = f"SELECT * FROM {TABLE} WHERE sequence > $1 ORDER BY sequence LIMIT {PAGE}"
        done = after = 0
        while time.perf_counter() < until:
            rows = await database.fetch(select, after)
            after = rows[-1]["sequence"] if len(rows) == PAGE else 0
            done += len(rows)
        await database.close()
        return done

    async def _insert(self, insert: str, batches: Batches, seconds: float, connections: int) -> Speed:
        opened = [await asyncpg.connect(self._url) for _ in range(connections)]
        waiting, done, clock = iter(batches), list[int](), Clock(self._postmaster)

        async def on_one(database: asyncpg.Connection) -> None:
            for rows in waiting:
                async with database.transaction():
                    await database.executemany(insert, rows)
                done.append(len(rows))
                if clock.spent() > seconds:
                    break

        await asyncio.gather(*(on_one(database) for database in opened))
        speed = clock.speed(done)
        for database in opened:
            await database.close()
        return speed

    async def _execute(self, *statements: str) -> None:
        database = await asyncpg.connect(self._url)
        for statement in statements:
            await database.execute(statement)
        await database.close()
