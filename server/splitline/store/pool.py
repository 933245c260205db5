"""Connections that are lent, and opened when they are needed."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from typing import TypeVar

from splitline.store.driver import Connection
from splitline.store.faults import translated

T = TypeVar("T")

# They stay open: opening one for a moment takes longer than what is asked of it.
MOST = 15


class Pool:
    """The connection that was given back last goes out first, so that few of them hold much of the file in memory."""

    def __init__(self, opened: Callable[[], Awaitable[Connection]], patience: float) -> None:
        """opened: gives a new one; patience: how long one waits for a connection, s."""
        self._opened, self._patience = opened, patience
        self._kept: list[Connection] = []
        self._room = asyncio.Semaphore(MOST)
        self._closed = False

    @asynccontextmanager
    async def connected(self, act: Callable[[Connection], Awaitable[T]]) -> AsyncIterator[tuple[Connection, T]]:
        """A connection, and what the first act on it gave; what is not committed at the end is undone.

        Raises `StoreUnavailable` and what else `translated` says.
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
        """Ask the kept connections until one turns out not to be lost, and in the end a new one."""
        while True:
            kept = bool(self._kept)
            connection = self._kept.pop() if kept else await self._opened()
            try:
                return connection, await act(connection)
            except connection.lost:
                await _dropped(connection)
                if not kept:
                    raise
            except BaseException:
                await self._give_back(connection)
                raise

    async def _give_back(self, connection: Connection) -> None:
        with suppress(Exception):  # One that cannot even undo is of no use any more.
            await connection.rollback()
            if not self._closed:
                self._kept.append(connection)
                return
        await _dropped(connection)

    async def close(self) -> None:
        """Close all connections; those that are lent follow when they are given back."""
        self._closed = True
        while self._kept:
            await _dropped(self._kept.pop())


async def _dropped(connection: Connection) -> None:
    with suppress(Exception):
        await connection.driver.close()
