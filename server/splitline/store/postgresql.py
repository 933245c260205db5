"""PostgreSQL by its driver and the driver's own pool of connections."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from typing import Any, TypeVar

import asyncpg  # type: ignore[import-untyped]
from sqlalchemy import URL
from sqlalchemy.dialects.postgresql.asyncpg import dialect
from sqlalchemy.engine import Dialect

from splitline.store.driver import PAGE, Row

T = TypeVar("T")

MOST = 15
BEGIN = {
    "read": "BEGIN READ ONLY",
    "snapshot": "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
    "exclusive": "BEGIN",
    "write": "BEGIN; SELECT value FROM sequence FOR UPDATE",
}
"""How the kinds of transactions begin."""
LOST = (
    asyncpg.PostgresConnectionError,
    asyncpg.AdminShutdownError,
    asyncpg.InterfaceError,
    asyncpg.InternalClientError,
    ConnectionError,
)
"""What a connection says whose server is not there any more, or another one."""


class PostgresqlConnection:
    """A connection; see `driver.Connection`."""

    dialect: Dialect = dialect()  # type: ignore[no-untyped-call]

    def __init__(self, driver: Any) -> None:
        self.driver = driver
        self._begun = False

    async def rows(self, text: str, values: Row) -> Sequence[Row]:
        """Carry out a statement and return its rows."""
        found: Sequence[Row] = await self.driver.fetch(text, *values)
        return found

    async def many(self, text: str, rows: Sequence[Row]) -> None:
        """Carry out a statement once for each row of values."""
        await self.driver.executemany(text, rows)

    async def pages(self, text: str, values: Row) -> AsyncIterator[Sequence[Row]]:
        """Give out the rows of a statement, `PAGE` at a time."""
        cursor = await self.driver.cursor(text, *values)
        while page := await cursor.fetch(PAGE):
            yield page

    async def begin(self, kind: str) -> None:
        """Begin a transaction."""
        self._begun = True
        await self.driver.execute(BEGIN[kind])

    async def commit(self) -> None:
        """Keep what was written."""
        await self.driver.execute("COMMIT")
        self._begun = False

    async def rollback(self) -> None:
        """Undo what was not committed, if anything was begun."""
        if self._begun:
            await self.driver.execute("ROLLBACK")
            self._begun = False


class PostgresqlPool:
    """Connections that are lent, and opened when they are needed."""

    connection = PostgresqlConnection

    def __init__(self, url: URL, patience: float) -> None:
        """patience: how long a connection waits for another one's lock, s."""
        _, options = PostgresqlConnection.dialect.create_connect_args(url)
        # Compiling a statement takes a hundred times what ours take.
        settings = {"lock_timeout": f"{patience * 1000:.0f}", "jit": "off"}
        self._options: dict[str, Any] = {**options, "server_settings": settings}
        self._patience = patience
        self._pool: Any = None
        self._opening = asyncio.Lock()

    async def reach(self, act: Callable[[PostgresqlConnection], Awaitable[T]]) -> tuple[PostgresqlConnection, T]:
        """Lend a connection, and return what the first act on it gave; a connection that was lost is replaced."""
        again = True
        while True:
            pool = await self._opened_pool()
            connection = PostgresqlConnection(await pool.acquire(timeout=self._patience))
            try:
                return connection, await act(connection)
            except BaseException as fault:
                await self.give_back(connection)
                if not (again and isinstance(fault, LOST)):
                    raise
            again = False
            await pool.expire_connections()

    async def give_back(self, connection: PostgresqlConnection) -> None:
        """Take a connection back; what was begun on it and not committed is undone."""
        try:
            await connection.rollback()
        except (asyncpg.PostgresError, *LOST):
            connection.driver.terminate()
        finally:
            await self._pool.release(connection.driver)

    async def opened(self) -> Any:
        """Return a new connection of the driver, set up."""
        return await asyncpg.connect(**self._options)

    async def _opened_pool(self) -> Any:
        async with self._opening:
            if self._pool is None:
                self._pool = await asyncpg.create_pool(min_size=0, max_size=MOST, reset=_as_it_is, **self._options)
        return self._pool

    async def close(self) -> None:
        """Close all connections."""
        if self._pool is not None:
            await self._pool.close()
            self._pool = None


async def _as_it_is(_driver: Any) -> None:
    """Set nothing back: nothing but transactions is ever begun on a connection, and the driver would ask once more."""
