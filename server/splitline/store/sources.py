"""Sources."""

from collections.abc import Collection, Container, Iterable

from sqlalchemy import ColumnElement, Text, and_, delete, or_, select, text, type_coerce
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.position import Box, band_of
from splitline.store import writing
from splitline.store.asking import fetch, fetch_as, tell
from splitline.store.lists import among
from splitline.store.rows import SourceRow, values
from splitline.store.schema import FLAGGED, sources

BY_IDS = select(sources).where(among(sources.c.id, "ids"))
DROP = delete(sources).where(among(sources.c.id, "ids"))
STANDING = select(sources.c.id).where(among(sources.c.region, "regions"), sources.c.state == "counted")


async def by_ids(connection: AsyncConnection, ids: Iterable[str]) -> dict[str, SourceRow]:
    """Return the sources with these ids, retracted ones included."""
    return {row.id: row for row in await fetch_as(SourceRow, connection, BY_IDS, ids=set(ids))}


async def ids_in(connection: AsyncConnection, regions: Iterable[str]) -> set[str]:
    """Return the ids of the standing sources of some regions."""
    return {source for (source,) in await fetch(connection, STANDING, regions=set(regions))}


async def put(connection: AsyncConnection, rows: Collection[SourceRow], earlier: Container[str]) -> None:
    """Write rows in place of those with the same ids, whatever region these were in; earlier: ids that are stored."""
    replaced = [row.id for row in rows if row.id in earlier]
    if replaced:
        await tell(connection, DROP, ids=replaced)
    await writing.add(connection, sources, values(rows))


async def within(connection: AsyncConnection, box: Box) -> list[SourceRow]:
    """Return the sources that stand in a box."""
    statement = select(sources).where(_inside(box), sources.c.state == "counted")
    return [SourceRow(**row._mapping) for row in await connection.execute(statement)]


async def standing_in(connection: AsyncConnection, region: str, after: str, limit: int) -> list[SourceRow]:
    """Return up to `limit` sources of a region that stand, by id, after an id."""
    statement = (
        select(sources)
        .where(sources.c.region == region, sources.c.state == "counted", sources.c.id > after)
        .order_by(sources.c.id)
        .limit(limit)
    )
    return [SourceRow(**row._mapping) for row in await connection.execute(statement)]


async def doubtful(connection: AsyncConnection) -> list[SourceRow]:
    """Return the sources that are withheld or that may be the same place as another, in the order they changed."""
    similar = type_coerce(sources.c.flags, Text).contains("similar_source", autoescape=True)
    statement = select(sources).where(
        text(FLAGGED),
        or_(sources.c.state == "withheld", and_(sources.c.state == "counted", similar)),
        sources.c.retracted.is_(False),
    )
    return [SourceRow(**row._mapping) for row in await connection.execute(statement.order_by(sources.c.sequence))]


def _inside(box: Box) -> ColumnElement[bool]:
    """In each band the index holds the longitudes in order, so that only what lies inside is read."""
    west, east = sources.c.longitude >= box.west, sources.c.longitude <= box.east
    sideways = and_(west, east) if box.west <= box.east else or_(west, east)
    bands = range(band_of(box.south), band_of(box.north) + 1)
    return and_(sources.c.band.in_(bands), sideways, sources.c.latitude.between(box.south, box.north))
