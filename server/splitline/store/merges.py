"""Merged sources: who merged them, and which source survives.

A merge moves nothing: the merged source keeps its row, tests and region, but is no longer listed. Merges have one level
only, so undoing one means clearing one field.
"""

from collections.abc import Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import bindparam, select, union, update

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, execute, fetch, fetch_as
from splitline.store.rows import values
from splitline.store.schema import merges, sources

MERGED = select(sources.c.id, sources.c.into)
SURVIVORS = MERGED.where(among(sources.c.id, "ids"), sources.c.into.is_not(None))
MEMBERS = MERGED.where(among(sources.c.into, "ids"))
asked = sources.alias()
BESIDE = MERGED.join(asked, asked.c.into == sources.c.into).where(among(asked.c.id, "ids"))
GROUPS = union(MEMBERS, BESIDE)
"""Sources merged into one of some sources, or into the survivor of one of them."""

UNDO = (
    update(merges)
    .where(merges.c.source == bindparam("place"), merges.c.undone_at.is_(None))
    .values(undone_at=bindparam("now"))
)
OF_SOURCE = select(merges).where(merges.c.source == bindparam("source")).order_by(merges.c.sequence)


class MergeRow(Struct, frozen=True, kw_only=True):
    """One merge. sequence: the number of its change."""

    sequence: int
    source: str
    into: str
    merged_by: str
    merged_at: datetime
    undone_at: datetime | None = None


async def note(connection: Connection, row: MergeRow) -> None:
    """Add a merge."""
    await add(connection, merges, values([row]))


async def undo(connection: Connection, source: str, now: datetime) -> None:
    """Mark a source's current merge as undone."""
    await execute(connection, UNDO, place=source, now=now)


async def of_source(connection: Connection, source: str) -> list[MergeRow]:
    """Return all merges of a source, oldest first."""
    return await fetch_as(MergeRow, connection, OF_SOURCE, source=source)


async def survivors(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return the survivor of each of these sources that is merged."""
    return dict(await fetch(connection, SURVIVORS, ids=set(ids)))


async def members(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return the sources merged into one of these, each with its survivor."""
    return dict(await fetch(connection, MEMBERS, ids=set(ids)))


async def groups(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return every source in the merge groups of these, with its group's survivor; a survivor maps to itself."""
    asked = set(ids)
    into: dict[str, str] = dict(await fetch(connection, GROUPS, ids=asked))
    standing = {into.get(source, source) for source in asked}
    return {**{source: source for source in standing}, **into}
