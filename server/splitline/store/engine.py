"""The database of a process. Read transactions run concurrently, write transactions one after the other.

So a sequence number is final as soon as it is taken: numbers are committed in the order in which they were taken.
BEGIN IMMEDIATE ensures it on SQLite, a lock on the single row of `sequence` on PostgreSQL; both last until the commit.
Writers of one process queue in order and hold no connection while waiting, so that readers always get one.
"""

import asyncio
from collections.abc import AsyncIterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

from sqlalchemy import make_url, select

from splitline.store import sqlite
from splitline.store.driver import Connection as Connection
from splitline.store.driver import Row, Statement, fetch
from splitline.store.faults import StoreUnavailable as StoreUnavailable
from splitline.store.faults import translated
from splitline.store.pool import Pool
from splitline.store.schema import refreshing

# How long a writer waits for others, s; below the 30 s after which a phone gives up, so that it gets the answer.
# A URL can override it: sqlite:///FILE?patience=5.
PATIENCE = 20.0

CLAIM = select(refreshing.c.id).with_for_update(skip_locked=True)

Transaction = AbstractAsyncContextManager[Connection]


class Store:
    """The database of one server process."""

    def __init__(self, url: str) -> None:
        """url: with its driver, as `config.settings` gives it; see `PATIENCE`."""
        parsed = make_url(url)
        self._patience = float(str(parsed.query.get("patience", PATIENCE)))
        self.url = parsed.difference_update_query(["patience"])
        if self.on_sqlite:
            Path(str(self.url.database)).parent.mkdir(parents=True, exist_ok=True)
        self._pool = Pool(self.opened, self._patience)
        # Writers share one connection: SQLite discards a connection's cache when another one has written.
        self._writing = Pool(self.opened, self._patience)
        self._turns = asyncio.Lock()

    @property
    def on_sqlite(self) -> bool:
        """Whether the database is SQLite."""
        return self.url.get_backend_name() == "sqlite"

    def read(self) -> Transaction:
        """A read transaction. Raises `StoreUnavailable`."""
        return self._begun("read", self._pool)

    def write(self) -> Transaction:
        """A write transaction: nobody else writes until it commits. Raises `StoreUnavailable`."""
        return self._written("write")

    def exclusive(self) -> Transaction:
        """A transaction that may write but takes no numbers; on SQLite it holds the write lock from its start."""
        return self._written("exclusive")

    def snapshot(self) -> Transaction:
        """A read transaction on the snapshot at its first query; it blocks nobody."""
        return self._begun("snapshot", self._pool)

    async def one(self, statement: Statement, values: dict[str, object]) -> Row:
        """Return the single row of a read-only statement, which sees one snapshot without a transaction.

        Raises `StoreUnavailable`.
        """
        async with self._pool.connected(lambda connection: fetch(connection, statement, **values)) as (_, [row]):
            return tuple(row)

    @asynccontextmanager
    async def refreshing(self) -> AsyncIterator[bool]:
        """Lock the updating of figures; yields False if another process holds the lock, which ends with its process."""
        if self.on_sqlite:
            yield True
            return
        async with self._begun("exclusive", self._pool) as connection:
            yield bool(await fetch(connection, CLAIM))

    async def opened(self) -> Connection:
        """Return a new connection; the caller closes it. Raises `StoreUnavailable`."""
        with translated(OSError):
            if self.on_sqlite:
                return await sqlite.opened(self.url, self._patience)
            # Imported only if needed.
            from splitline.store import postgresql

            return await postgresql.opened(self.url, self._patience)

    async def close(self) -> None:
        """Close all connections."""
        await self._pool.close()
        await self._writing.close()

    @asynccontextmanager
    async def _begun(self, kind: str, pool: Pool) -> AsyncIterator[Connection]:
        async with pool.connected(lambda connection: connection.begin(kind)) as (connection, _):
            yield connection

    @asynccontextmanager
    async def _written(self, kind: str) -> AsyncIterator[Connection]:
        try:
            async with asyncio.timeout(self._patience):
                await self._turns.acquire()
        except TimeoutError as fault:
            raise StoreUnavailable("the database is busy: too many wait for their turn to write") from fault
        try:
            async with self._begun(kind, self._writing) as connection:
                yield connection
                await connection.commit()
        finally:
            self._turns.release()
