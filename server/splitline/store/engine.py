"""The two engines. Reading transactions run side by side, writing ones one after the other.

This makes a sequence number final as soon as it is taken: numbers are committed in the order in which they were taken.
On SQLite BEGIN IMMEDIATE sees to it, on PostgreSQL the lock on the one row of `sequence`; both last until the commit.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path
from sqlite3 import OperationalError as SQLiteError
from time import monotonic, sleep
from typing import Any

from sqlalchemy import URL, Select, event, make_url, select
from sqlalchemy import Connection as SyncConnection
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine

from splitline.store import schema
from splitline.store.asking import ask_sqlite
from splitline.store.faults import StoreUnavailable as StoreUnavailable
from splitline.store.faults import told
from splitline.store.turns import Turns

Connection = AsyncConnection
"""What queries run on; only the store knows what it is."""

# How long a writer waits for others, s; below the 30 s after which a phone gives up, so that it gets the answer.
# A URL can say otherwise, such as sqlite:///FILE?patience=5.
PATIENCE = 20.0
BEGIN = "splitline_begin"
# Connections to SQLite that stay open: opening one more for a moment takes longer than what is asked of it. The one
# that was given back last goes out first, so that few of them have much of the file in memory.
# A transaction is over when its connection is given back, so that nothing is left to be set back.
KEPT_OPEN = {"pool_size": 15, "max_overflow": 0, "pool_use_lifo": True, "pool_reset_on_return": None}
CLAIM = select(schema.refreshing.c.id).with_for_update(skip_locked=True)
PRAGMAS = ("synchronous = FULL", "foreign_keys = ON")
# For writing: a batch of 500 changes some 500 pages, and SQLite's own 2 MB make it read and write some of them twice.
# Pages of changes are read once each, which a larger memory does not help.
MORE_MEMORY = "cache_size = -16384"
# Threads that glance at SQLite at the same time; more of them only wait for each other.
GLANCING = 2


class Store:
    """The database behind one server process."""

    def __init__(self, url: str) -> None:
        """url: with its driver, as `config.settings` gives it."""
        self._patience = patience(url)
        self.engine = _engine(url, self._patience)
        self.glances = _glances(url, self._patience, self.engine)
        self._writers = self.engine.execution_options(**{BEGIN: "IMMEDIATE"})
        self._turns = Turns(Path(str(self.engine.url.database)) if self.on_sqlite else None, self._patience)

    @property
    def on_sqlite(self) -> bool:
        """Whether this is the embedded database."""
        return self.engine.dialect.name == "sqlite"

    @asynccontextmanager
    async def read(self) -> AsyncIterator[AsyncConnection]:
        """A transaction that only reads. Raises `StoreUnavailable`."""
        with told():
            async with self.engine.connect() as connection:
                yield connection

    async def glance(self, statement: Select[Any], values: dict[str, object]) -> Sequence[Any]:
        """Return the one row of one statement that only reads: it sees everything as it was at one moment.

        There is no transaction around it; on SQLite it is one errand to a connection's thread, where a transaction
        takes eight. Raises `StoreUnavailable`.
        """
        with told():
            async with self.glances.connect() as connection:
                if not self.on_sqlite:
                    return tuple((await connection.execute(statement, values)).one())
                row: Sequence[Any]
                (row,) = await ask_sqlite(connection, statement, values)
                return row

    @asynccontextmanager
    async def write(self) -> AsyncIterator[AsyncConnection]:
        """The writers' turn: nobody else writes until this commits. Raises `StoreUnavailable`."""
        async with self.exclusive() as connection:
            if not self.on_sqlite:
                await connection.execute(select(schema.sequence.c.value).with_for_update())
            yield connection

    @asynccontextmanager
    async def exclusive(self) -> AsyncIterator[AsyncConnection]:
        """A transaction that may write; on SQLite it holds the one write lock from its start."""
        with told():
            async with self._turns.turn(), self._writers.begin() as connection:
                yield connection

    @asynccontextmanager
    async def snapshot(self) -> AsyncIterator[AsyncConnection]:
        """A transaction that sees everything as it was at its first query, and keeps nobody waiting."""
        with told():
            # A reading transaction of SQLite is one as it is.
            options = {} if self.on_sqlite else {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
            async with self.engine.execution_options(**options).connect() as connection:
                yield connection

    @asynccontextmanager
    async def refreshing(self) -> AsyncIterator[bool]:
        """Give the right to bring figures up to date, unless another process has it; one that dies gives it back."""
        if self.on_sqlite:
            yield True
            return
        with told():
            async with self.engine.connect() as connection:
                yield bool((await connection.execute(CLAIM)).all())

    async def close(self) -> None:
        """Give all connections back."""
        self._turns.close()
        await self.glances.dispose()
        await self.engine.dispose()


def patience(url: str) -> float:
    """Return how long a writer waits, s. Raises `ValueError` where the URL says something that is no number."""
    return float(str(make_url(url).query.get("patience", PATIENCE)))


def _engine(url: str, seconds: float) -> AsyncEngine:
    parsed = _without_patience(url)
    if parsed.get_backend_name() != "sqlite":
        # Compiling a statement takes a hundred times what ours take.
        waiting = {"lock_timeout": f"{seconds * 1000:.0f}", "jit": "off"}
        more = {"server_settings": waiting}
        return create_async_engine(parsed, pool_pre_ping=True, hide_parameters=True, connect_args=more)
    Path(str(parsed.database)).parent.mkdir(parents=True, exist_ok=True)
    engine = create_async_engine(parsed, hide_parameters=True, **KEPT_OPEN)
    event.listen(engine.sync_engine, "connect", partial(_on_connect, seconds, (*PRAGMAS, MORE_MEMORY)))
    event.listen(engine.sync_engine, "begin", _on_begin)
    return engine


def _glances(url: str, seconds: float, engine: AsyncEngine) -> AsyncEngine:
    """An engine without transactions: on SQLite with connections of its own, which nothing has to be set back on."""
    if engine.dialect.name != "sqlite":
        return engine.execution_options(isolation_level="AUTOCOMMIT")
    few = KEPT_OPEN | {"pool_size": GLANCING}
    glances = create_async_engine(_without_patience(url), hide_parameters=True, **few)
    event.listen(glances.sync_engine, "connect", partial(_on_connect, seconds, PRAGMAS))
    return glances


def _without_patience(url: str) -> URL:
    return make_url(url).difference_update_query(["patience"])


def _on_connect(seconds: float, pragmas: Sequence[str], connection: Any, _record: Any) -> None:
    """Per connection: our own BEGIN (SQLAlchemy's recipe for aiosqlite), patience before anything that may wait."""
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {seconds * 1000:.0f}")
    _to_wal(cursor, seconds)
    for pragma in pragmas:
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _to_wal(cursor: Any, seconds: float) -> None:
    """Use the write-ahead log. SQLite has no patience here where several connections turn a new file to it at once."""
    until = monotonic() + seconds
    while True:
        try:
            cursor.execute("PRAGMA journal_mode = WAL")
            return
        except SQLiteError:
            if monotonic() > until:
                raise
            sleep(0.02)


def _on_begin(connection: SyncConnection) -> None:
    begin = f"BEGIN {connection.get_execution_options().get(BEGIN, 'DEFERRED')}"
    driver: Any = connection.connection.dbapi_connection
    driver.run_async(lambda aiosqlite: aiosqlite.execute_fetchall(begin))
