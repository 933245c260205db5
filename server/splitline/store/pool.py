"""A connection pool that opens connections on demand."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from typing import TypeVar

from splitline.store.driver import Connection
from splitline.store.faults import translated

T = TypeVar("T")

# Most connections; writers take turns and have one more. They stay open: opening one takes longer than a typical query.
MOST = 15


class Pool:
    """Reuses the most recently returned connection first, so that few of them cache much of the file."""

    def __init__(self, opened: Callable[[], Awaitable[Connection]], patience: float) -> None:
        """opened: opens a connection; patience: longest wait for one, s."""
        self._opened, self._patience = opened, patience
        self._idle: list[Connection] = []
        self._room = asyncio.Semaphore(MOST)
        self._closed = False

    @asynccontextmanager
    async def connected(self, act: Callable[[Connection], Awaitable[T]]) -> AsyncIterator[tuple[Connection, T]]:
        """A connection, and the result of `act` on it; rolls back at the end what was not committed.

        Raises `StoreUnavailable` and the other exceptions of `translated`.
        """
        with translated(TimeoutError):
            async with asyncio.timeout(self._patience):
                await self._room.acquire()
        try:
            with translated():
                connection, found = await self._first(act)
                try:
                    yield connection, found
                finally:
                    await self._give_back(connection)
        finally:
            self._room.release()

    async def _first(self, act: Callable[[Connection], Awaitable[T]]) -> tuple[Connection, T]:
        """Try pooled connections until one works, and finally a new one."""
        while True:
            is_idle = bool(self._idle)
            connection = self._idle.pop() if is_idle else await self._opened()
            try:
                return connection, await act(connection)
            except connection.lost:
                await _dropped(connection)
                if not is_idle:
                    raise
            except BaseException:
                await self._give_back(connection)
                raise

    async def _give_back(self, connection: Connection) -> None:
        with suppress(Exception):  # One that cannot roll back is broken.
            await connection.rollback()
            if not self._closed:
                self._idle.append(connection)
                return
        await _dropped(connection)

    async def close(self) -> None:
        """Close all connections; those in use are closed when returned."""
        self._closed = True
        while self._idle:
            await _dropped(self._idle.pop())


async def _dropped(connection: Connection) -> None:
    with suppress(Exception):
        await connection.driver.close()
