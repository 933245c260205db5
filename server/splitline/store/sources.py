"""Sources."""

from collections.abc import Collection, Container, Iterable

from sqlalchemy import Integer, Text, and_, bindparam, delete, or_, select, text, type_coerce

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, execute, fetch, fetch_as
from splitline.store.rows import ALL_WITHHELD, CHANGE_WAITS, SourceRow, values
from splitline.store.schema import FLAGGED, sources

BY_IDS = select(sources).where(among(sources.c.id, "ids"))
DROP = delete(sources).where(among(sources.c.id, "ids"))
STANDING = select(sources.c.id).where(among(sources.c.region, "regions"), sources.c.state == "counted")

STANDING_IN = (
    select(sources)
    .where(sources.c.region == bindparam("region"), sources.c.state == "counted")
    .where(sources.c.sequence > bindparam("after"))
    .order_by(sources.c.sequence)
    .limit(bindparam("limit", type_=Integer))
)
SIMILAR = type_coerce(sources.c.flags, Text).contains("similar_source", autoescape=True)
WITH_ALL = type_coerce(sources.c.flags, Text).contains(ALL_WITHHELD, autoescape=True)
WITH_CHANGE = type_coerce(sources.c.flags, Text).contains(CHANGE_WAITS, autoescape=True)
DOUBTFUL = (
    select(sources)
    .where(
        text(FLAGGED),
        or_(and_(sources.c.state == "withheld", ~WITH_ALL), and_(sources.c.state == "counted", SIMILAR), WITH_CHANGE),
        sources.c.retracted.is_(False),
    )
    .order_by(sources.c.sequence)
)
BY_CONTRIBUTOR = sources.c.contributor == bindparam("contributor")
ENTERED_BY = select(sources).where(BY_CONTRIBUTOR).order_by(sources.c.sequence)
ALL_WITHHELD_OF = select(sources.c.id).where(BY_CONTRIBUTOR, text(FLAGGED), WITH_ALL)


async def by_ids(connection: Connection, ids: Iterable[str]) -> dict[str, SourceRow]:
    """Return the sources with these ids, retracted ones included."""
    return {row.id: row for row in await fetch_as(SourceRow, connection, BY_IDS, ids=set(ids))}


async def ids_in(connection: Connection, regions: Iterable[str]) -> set[str]:
    """Return the ids of the counted sources of some regions."""
    return {source for (source,) in await fetch(connection, STANDING, regions=set(regions))}


async def drop(connection: Connection, ids: Collection[str]) -> None:
    """Delete the rows of some sources."""
    await execute(connection, DROP, ids=list(ids))


async def put(connection: Connection, rows: Collection[SourceRow], earlier: Container[str]) -> None:
    """Replace the rows with the same ids, in whatever region; earlier: ids that are already stored."""
    await drop(connection, [row.id for row in rows if row.id in earlier])
    await add(connection, sources, values(rows))


async def standing_in(connection: Connection, region: str, after: int, limit: int) -> list[SourceRow]:
    """Return up to `limit` counted sources of a region that changed after a number, in order of change."""
    return await fetch_as(SourceRow, connection, STANDING_IN, region=region, after=after, limit=limit)


async def doubtful(connection: Connection) -> list[SourceRow]:
    """Return the sources waiting for a moderator, in order of change.

    They are individually withheld, may be the same place as another, or have a waiting change.
    """
    return await fetch_as(SourceRow, connection, DOUBTFUL)


async def entered_by(connection: Connection, contributor: str) -> list[SourceRow]:
    """Return the sources a contributor entered, in order of change, retracted ones included."""
    return await fetch_as(SourceRow, connection, ENTERED_BY, contributor=contributor)


async def all_withheld_of(connection: Connection, contributor: str) -> list[str]:
    """Return the ids of a contributor's sources that are withheld with all of their records."""
    return [source for (source,) in await fetch(connection, ALL_WITHHELD_OF, contributor=contributor)]
