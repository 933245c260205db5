"""The database behind a process. Reading transactions run side by side, writing ones one after the other.

This makes a sequence number final as soon as it is taken: numbers are committed in the order in which they were taken.
On SQLite BEGIN IMMEDIATE sees to it, on PostgreSQL the lock on the one row of `sequence`; both last until the commit.
Writers of one process queue up in order, and hold no connection while they wait, so readers always find one.
"""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from typing import Any, TypeVar

from sqlalchemy import URL, make_url, select

from splitline.store.driver import Connection as Connection
from splitline.store.driver import Row, Statement, fetch
from splitline.store.faults import StoreUnavailable as StoreUnavailable
from splitline.store.faults import told
from splitline.store.schema import refreshing
from splitline.store.sqlite import SqlitePool

# How long a writer waits for others, s; below the 30 s after which a phone gives up, so that it gets the answer.
# A URL can say otherwise, such as sqlite:///FILE?patience=5.
PATIENCE = 20.0
CLAIM = select(refreshing.c.id).with_for_update(skip_locked=True)
T = TypeVar("T")


class Store:
    """The database behind one server process."""

    def __init__(self, url: str) -> None:
        """url: with its driver, as `config.settings` gives it."""
        self._patience = patience(url)
        self.url = make_url(url).difference_update_query(["patience"])
        self._pool = _pool(self.url, self._patience)
        self._turns = asyncio.Lock()

    @property
    def on_sqlite(self) -> bool:
        """Whether this is the embedded database."""
        return self.url.get_backend_name() == "sqlite"

    @asynccontextmanager
    async def read(self) -> AsyncIterator[Connection]:
        """A transaction that only reads. Raises `StoreUnavailable`."""
        async with self._begun("read") as connection:
            yield connection

    async def one(self, statement: Statement, values: dict[str, object]) -> Row:
        """Return the one row of one statement that only reads: it sees everything as it was at one moment.

        There is no transaction around it. Raises `StoreUnavailable`.
        """
        async with self._reached(lambda connection: fetch(connection, statement, **values)) as (_, [row]):
            return tuple(row)

    @asynccontextmanager
    async def write(self) -> AsyncIterator[Connection]:
        """The writers' turn: nobody else writes until this commits. Raises `StoreUnavailable`."""
        async with self._turn(), self._begun("write") as connection:
            yield connection
            await connection.commit()

    @asynccontextmanager
    async def exclusive(self) -> AsyncIterator[Connection]:
        """A transaction that may write and takes no numbers; on SQLite it holds the one write lock from its start."""
        async with self._turn(), self._begun("exclusive") as connection:
            yield connection
            await connection.commit()

    @asynccontextmanager
    async def snapshot(self) -> AsyncIterator[Connection]:
        """A transaction that sees everything as it was at its first query, and keeps nobody waiting."""
        async with self._begun("snapshot") as connection:
            yield connection

    @asynccontextmanager
    async def refreshing(self) -> AsyncIterator[bool]:
        """Give the right to bring figures up to date, unless another process has it; one that dies gives it back."""
        if self.on_sqlite:
            yield True
            return
        async with self._begun("exclusive") as connection:
            yield bool(await fetch(connection, CLAIM))

    async def opened(self) -> Any:
        """Return a new connection of the driver, for whoever changes tables."""
        with told(OSError):
            return await self._pool.opened()

    def connection(self, driver: Any) -> Connection:
        """Return a connection of the driver as queries use it."""
        opened: Connection = self._pool.connection(driver)
        return opened

    async def close(self) -> None:
        """Give all connections back."""
        await self._pool.close()

    @asynccontextmanager
    async def _turn(self) -> AsyncIterator[None]:
        try:
            async with asyncio.timeout(self._patience):
                await self._turns.acquire()
        except TimeoutError as fault:
            raise StoreUnavailable("the database is busy: too many wait for their turn to write") from fault
        try:
            yield
        finally:
            self._turns.release()

    @asynccontextmanager
    async def _begun(self, kind: str) -> AsyncIterator[Any]:
        """A connection with a transaction on it, which is undone unless it was committed."""
        async with self._reached(lambda connection: connection.begin(kind)) as (connection, _):
            yield connection

    @asynccontextmanager
    async def _reached(self, act: Callable[[Any], Awaitable[T]]) -> AsyncIterator[tuple[Any, T]]:
        """A connection, and what the first act on it gave."""
        with told(OSError):
            connection, found = await self._pool.reach(act)
        try:
            with told():
                yield connection, found
        finally:
            await self._pool.give_back(connection)


def patience(url: str) -> float:
    """Return how long a writer waits, s. Raises `ValueError` where the URL says something that is no number."""
    return float(str(make_url(url).query.get("patience", PATIENCE)))


def _pool(url: URL, seconds: float) -> Any:
    if url.get_backend_name() == "sqlite":
        return SqlitePool(url, seconds)
    # Not loaded where nobody needs it.
    from splitline.store.postgresql import PostgresqlPool

    return PostgresqlPool(url, seconds)
