"""Sources."""

from collections.abc import Collection, Container, Iterable

from sqlalchemy import Integer, Text, and_, bindparam, delete, or_, select, text, type_coerce

from splitline.store.driver import Connection, add, fetch, fetch_as, tell
from splitline.store.lists import among
from splitline.store.rows import SourceRow, values
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
DOUBTFUL = (
    select(sources)
    .where(
        text(FLAGGED),
        or_(sources.c.state == "withheld", and_(sources.c.state == "counted", SIMILAR)),
        sources.c.retracted.is_(False),
    )
    .order_by(sources.c.sequence)
)


async def by_ids(connection: Connection, ids: Iterable[str]) -> dict[str, SourceRow]:
    """Return the sources with these ids, retracted ones included."""
    return {row.id: row for row in await fetch_as(SourceRow, connection, BY_IDS, ids=set(ids))}


async def ids_in(connection: Connection, regions: Iterable[str]) -> set[str]:
    """Return the ids of the standing sources of some regions."""
    return {source for (source,) in await fetch(connection, STANDING, regions=set(regions))}


async def drop(connection: Connection, ids: Collection[str]) -> None:
    """Take the rows of some sources out."""
    await tell(connection, DROP, ids=list(ids))


async def put(connection: Connection, rows: Collection[SourceRow], earlier: Container[str]) -> None:
    """Write rows in place of those with the same ids, whatever region these were in; earlier: ids that are stored."""
    await drop(connection, [row.id for row in rows if row.id in earlier])
    await add(connection, sources, values(rows))


async def standing_in(connection: Connection, region: str, after: int, limit: int) -> list[SourceRow]:
    """Return up to `limit` sources of a region that stand, in the order they changed, after a change."""
    return await fetch_as(SourceRow, connection, STANDING_IN, region=region, after=after, limit=limit)


async def doubtful(connection: Connection) -> list[SourceRow]:
    """Return the sources that are withheld or that may be the same place as another, in the order they changed."""
    return await fetch_as(SourceRow, connection, DOUBTFUL)
