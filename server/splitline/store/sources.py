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
    """Return the ids of the standing sources of some regions."""
    return {source for (source,) in await fetch(connection, STANDING, regions=set(regions))}


async def drop(connection: Connection, ids: Collection[str]) -> None:
    """Take the rows of some sources out."""
    await execute(connection, DROP, ids=list(ids))


async def put(connection: Connection, rows: Collection[SourceRow], earlier: Container[str]) -> None:
    """Write rows in place of those with the same ids, whatever region these were in; earlier: ids that are stored."""
    await drop(connection, [row.id for row in rows if row.id in earlier])
    await add(connection, sources, values(rows))


async def standing_in(connection: Connection, region: str, after: int, limit: int) -> list[SourceRow]:
    """Return up to `limit` sources of a region that stand, in the order they changed, after a change."""
    return await fetch_as(SourceRow, connection, STANDING_IN, region=region, after=after, limit=limit)


async def doubtful(connection: Connection) -> list[SourceRow]:
    """Return the sources that wait for a moderator, in the order they changed.

    They are withheld for a reason of their own, may be the same place as another, or have a change that waits.
    """
    return await fetch_as(SourceRow, connection, DOUBTFUL)


async def entered_by(connection: Connection, contributor: str) -> list[SourceRow]:
    """Return the sources that somebody entered, in the order they changed, retracted ones too."""
    return await fetch_as(SourceRow, connection, ENTERED_BY, contributor=contributor)


async def all_withheld_of(connection: Connection, contributor: str) -> list[str]:
    """Return the sources of somebody's that are withheld with everything of theirs."""
    return [source for (source,) in await fetch(connection, ALL_WITHHELD_OF, contributor=contributor)]
