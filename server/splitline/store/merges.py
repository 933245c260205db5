"""Sources that turned out to be one place: who said so, and which source stands for which.

A merge moves nothing: the merged source keeps its row, tests and region, and leaves the lists. There is one level only,
so undoing a merge is clearing one field.
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
"""What was merged into one of some sources, or into the one that stands for one of them."""

UNDO = (
    update(merges)
    .where(merges.c.source == bindparam("place"), merges.c.undone_at.is_(None))
    .values(undone_at=bindparam("now"))
)
OF_SOURCE = select(merges).where(merges.c.source == bindparam("source")).order_by(merges.c.sequence)


class MergeRow(Struct, frozen=True, kw_only=True):
    """One merge. sequence: the number of the change that made it."""

    sequence: int
    source: str
    into: str
    merged_by: str
    merged_at: datetime
    undone_at: datetime | None = None


async def note(connection: Connection, row: MergeRow) -> None:
    """Note a merge."""
    await add(connection, merges, values([row]))


async def undo(connection: Connection, source: str, now: datetime) -> None:
    """Note that a merge ended."""
    await execute(connection, UNDO, place=source, now=now)


async def of_source(connection: Connection, source: str) -> list[MergeRow]:
    """Return every merge that a source went through, oldest first."""
    return await fetch_as(MergeRow, connection, OF_SOURCE, source=source)


async def survivors(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return for those of these sources that were merged the one that stands for them."""
    return dict(await fetch(connection, SURVIVORS, ids=set(ids)))


async def members(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return the sources that were merged into one of these, each with the one that stands for it."""
    return dict(await fetch(connection, MEMBERS, ids=set(ids)))


async def groups(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return for every source that is one place with some of these the one that stands for it, itself included."""
    asked = set(ids)
    into: dict[str, str] = dict(await fetch(connection, GROUPS, ids=asked))
    standing = {into.get(source, source) for source in asked}
    return {**{source: source for source in standing}, **into}
