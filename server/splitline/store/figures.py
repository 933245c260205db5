"""Figures of sources, months and regions, kept current by `summaries.py`."""

from collections.abc import Collection, Iterable

from msgspec import Struct
from sqlalchemy import bindparam, delete, func, literal_column, select

from splitline.store.driver import Connection, add, fetch, fetch_as, put, tell
from splitline.store.lists import among
from splitline.store.pumped import Month
from splitline.store.rows import values
from splitline.store.schema import region_contributors, region_months, source_figures, sources


class SourceFiguresRow(Struct, frozen=True, kw_only=True):
    """What is known of a source. tests: how many count; figures: JSON text of `statistics.lessons.Figures`."""

    region: str
    source: str
    tests: int
    figures: str


class RegionMonthRow(Struct, frozen=True, kw_only=True):
    """One month of a region.

    centre, spread: robust, % (V/V); no spread from one visit. contents: JSON of the visits' `statistics.tally.Tally`.
    """

    region: str
    month: str
    sources: int
    tests: int
    contributors: int
    centre: float
    spread: float | None
    contents: str | None


class RegionRow(Struct, frozen=True):
    """A region with sources or tests."""

    region: str
    sources: int
    tests: int
    contributors: int


DROP = delete(source_figures).where(among(source_figures.c.source, "sources"))
OF_SOURCES = select(source_figures).where(among(source_figures.c.source, "sources"))
DROP_MONTH = delete(region_months).where(
    region_months.c.region == bindparam("region"), region_months.c.month == bindparam("month")
)
MONTHS = select(region_months).where(among(region_months.c.region, "regions"), among(region_months.c.month, "months"))


async def put_sources(connection: Connection, affected: Iterable[str], rows: Collection[SourceFiguresRow]) -> None:
    """Write the figures of affected sources; a source without a row has none any more."""
    await tell(connection, DROP, sources=list(affected))
    await add(connection, source_figures, values(rows))


async def of_sources(connection: Connection, ids: Iterable[str]) -> dict[str, SourceFiguresRow]:
    """Return the figures of these sources, where there are any."""
    rows = await fetch_as(SourceFiguresRow, connection, OF_SOURCES, sources=list(ids))
    return {row.source: row for row in rows}


async def months(connection: Connection, wanted: Collection[Month]) -> dict[Month, RegionMonthRow]:
    """Return some months of some regions, where they have figures."""
    regions, names = {region for region, _ in wanted}, {month for _, month in wanted}
    rows = await fetch_as(RegionMonthRow, connection, MONTHS, regions=regions, months=names)
    return {(row.region, row.month): row for row in rows if (row.region, row.month) in wanted}


async def put_months(connection: Connection, gone: Collection[Month], rows: Collection[RegionMonthRow]) -> None:
    """Write months, and drop those where nothing counts any more."""
    for region, month in gone:
        await tell(connection, DROP_MONTH, region=region, month=month)
    await put(connection, region_months, values(rows))


async def months_of(connection: Connection, region: str) -> list[RegionMonthRow]:
    """Return the months of a region, oldest first."""
    statement = select(region_months).where(region_months.c.region == region).order_by(region_months.c.month)
    return await fetch_as(RegionMonthRow, connection, statement)


async def regions(connection: Connection) -> list[RegionRow]:
    """Return every region that has a source, by code: from indexes and from months, not from sources and tests."""
    standing = (
        select(sources.c.region, func.count().label("sources"))
        .where(sources.c.state == literal_column("'counted'"))
        .group_by(sources.c.region)
        .subquery()
    )
    people = (
        select(region_contributors.c.region, func.count().label("contributors"))
        .group_by(region_contributors.c.region)
        .subquery()
    )
    read = (
        select(region_months.c.region, func.sum(region_months.c.tests).label("tests"))
        .group_by(region_months.c.region)
        .subquery()
    )
    statement = (
        select(standing.c.region, standing.c.sources, read.c.tests, people.c.contributors)
        .outerjoin(read, read.c.region == standing.c.region)
        .outerjoin(people, people.c.region == standing.c.region)
        .order_by(standing.c.region)
    )
    return [
        RegionRow(region, sources, int(tests or 0), int(contributors or 0))
        for region, sources, tests, contributors in await fetch(connection, statement)
    ]
