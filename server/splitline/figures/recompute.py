"""All figures from nothing but the stored records, and what differs from those that were kept."""

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
    """A figure that was another. key: of the row in its table; was, now: what it says, None where there was no row."""

    table: str
    key: tuple[str, ...]
    was: str | None
    now: str | None


class _Undone(Exception):
    """Ends a transaction that is not to be kept."""


class _Within:
    """Every turn is the same transaction."""

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


async def anew(store: Store, now: datetime, keep: bool) -> list[Difference]:
    """Compute all figures anew and return what differed from what was kept and not known to be stale.

    keep: write them; otherwise everything stays as it is, but nobody else can write meanwhile. Raises
    `StoreUnavailable`.
    """
    if keep:
        return await _anew(store, now)
    found: list[Difference] = []
    with suppress(_Undone):
        async with store.write() as connection:
            found = await _anew(_Within(connection), now)
            raise _Undone
    return found


async def _anew(turns: Turns, now: datetime) -> list[Difference]:
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
