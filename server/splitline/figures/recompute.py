"""Recomputes all figures from the stored records, and reports differences from the stored figures."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from datetime import datetime

from msgspec import Struct

from splitline.figures.update import Turns, Update
from splitline.figures.worker import Here
from splitline.store import sequence, stale
from splitline.store.engine import Connection, Store
from splitline.store.figure_values import everything


class Difference(Struct, frozen=True, kw_only=True):
    """A figure that differed. key: of the row in its table; was, now: its values, None without a row."""

    table: str
    key: tuple[str, ...]
    was: str | None
    now: str | None


class _Undone(Exception):
    """Rolls back a transaction."""


class _Within:
    """Runs every step in one and the same transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    @asynccontextmanager
    async def snapshot(self) -> AsyncIterator[Connection]:
        """The transaction."""
        yield self._connection

    @asynccontextmanager
    async def write(self) -> AsyncIterator[Connection]:
        """The transaction."""
        yield self._connection


async def recompute_all(store: Store, now: datetime, keep: bool) -> list[Difference]:
    """Recompute all figures; return those that differed from the stored ones without being marked stale.

    keep: write them; otherwise nothing changes, but other writers are blocked meanwhile. Raises `StoreUnavailable`.
    """
    if keep:
        return await _recompute(store, now)
    found: list[Difference] = []
    with suppress(_Undone):
        async with store.write() as connection:
            found = await _recompute(_Within(connection), now)
            raise _Undone
    return found


async def _recompute(turns: Turns, now: datetime) -> list[Difference]:
    update = Update(turns, Here().compute, lambda: now)
    await update.all()
    async with turns.snapshot() as connection:
        before = await everything(connection)
    async with turns.write() as connection:
        head = await sequence.head(connection)
        stamp = -await sequence.count_figures(connection, now)
        await stale.note_all(connection, head.value + 1, stamp, now)
    await update.all()
    async with turns.snapshot() as connection:
        after = await everything(connection)
    return [
        Difference(table=key[0], key=key[1:], was=_said(before.get(key)), now=_said(after.get(key)))
        for key in sorted({*before, *after})
        if before.get(key) != after.get(key)
    ]


def _said(values: tuple[object, ...] | None) -> str | None:
    return None if values is None else ", ".join(map(str, values))
