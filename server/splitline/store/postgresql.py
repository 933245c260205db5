"""PostgreSQL, through asyncpg."""

from collections.abc import AsyncIterator, Sequence
from typing import Any, ClassVar

from asyncpg import (  # type: ignore[import-untyped]
    AdminShutdownError,
    InterfaceError,
    InternalClientError,
    PostgresConnectionError,
    connect,
)
from sqlalchemy import URL
from sqlalchemy.dialects.postgresql.asyncpg import dialect
from sqlalchemy.engine import Dialect

from splitline.store.driver import PAGE, Connection, Row

# Requests look rows up by an index. A young server has no statistics yet, or those of a tenth of its rows, and then
# PostgreSQL prefers to read whole tables. JIT compilation takes a hundred times as long as our statements.
PLANNING = {
    **dict.fromkeys(("enable_seqscan", "enable_mergejoin", "enable_hashjoin", "jit"), "off"),
    "random_page_cost": "1.1",
}


class _Postgresql(Connection):
    dialect: Dialect = dialect()  # type: ignore[no-untyped-call]
    beginnings: ClassVar = {
        "read": "BEGIN READ ONLY",
        "snapshot": "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
        "exclusive": "BEGIN",
        "write": "BEGIN; SELECT value FROM sequence FOR UPDATE",
    }
    lost = (PostgresConnectionError, AdminShutdownError, InterfaceError, InternalClientError, ConnectionError)

    async def run(self, text: str) -> None:
        await self.driver.execute(text)

    async def rows(self, text: str, values: Row = ()) -> Sequence[Row]:
        found: Sequence[Row] = await self.driver.fetch(text, *values)
        return found

    async def insert(self, text: str, columns: Sequence[Sequence[Any]]) -> None:
        await self.driver.execute(text, *columns)

    async def pages(self, text: str, values: Row) -> AsyncIterator[Sequence[Row]]:
        cursor = await self.driver.cursor(text, *values)
        while page := await cursor.fetch(PAGE):
            yield [tuple(row) for row in page]


async def opened(url: URL, patience: float) -> Connection:
    """Return a new connection; patience: lock timeout, s."""
    _, options = _Postgresql.dialect.create_connect_args(url)
    settings = {"lock_timeout": f"{patience * 1000:.0f}", **PLANNING}
    return _Postgresql(await connect(**options, server_settings=settings))
