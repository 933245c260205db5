"""Stored figures of sources, months and regions, written by `figures.update`."""

from collections import defaultdict
from collections.abc import Collection, Iterable

from msgspec import Struct
from sqlalchemy import bindparam, delete, func, literal_column, select

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, execute, fetch, fetch_as
from splitline.store.rows import values
from splitline.store.schema import region_lessons, region_months, source_figures, sources

Month = tuple[str, str]
"""A region and a month, such as ("FR-63", "2026-01")."""


class SourceFiguresRow(Struct, frozen=True):
    """The figures of a source.

    tests: number they are based on; day: which they are for, since 1970-01-01; figures: JSON text of
    `statistics.priors.Figures`.
    """

    source: str
    region: str
    tests: int
    day: int
    figures: str


class RegionMonthRow(Struct, frozen=True):
    """One month of a region.

    centre, spread: robust, % (V/V); no spread with one visit. contents: JSON of the visits'
    `statistics.histogram.Histogram`.
    """

    region: str
    month: str
    sources: int
    tests: int
    contributors: int
    centre: float
    spread: float | None
    contents: str


class RegionRow(Struct, frozen=True):
    """A region with sources or tests."""

    region: str
    sources: int
    tests: int
    contributors: int


DROP = delete(source_figures).where(among(source_figures.c.source, "sources"))
OF_SOURCES = select(source_figures).where(among(source_figures.c.source, "sources"))
DROP_MONTHS = delete(region_months).where(
    region_months.c.region == bindparam("in_region"), among(region_months.c.month, "months")
)
OF_REGION = (
    select(region_months).where(region_months.c.region == bindparam("in_region")).order_by(region_months.c.month)
)
STANDING = (
    select(sources.c.region, func.count().label("sources"))
    .where(sources.c.state == literal_column("'counted'"))
    .group_by(sources.c.region)
    .subquery()
)
REGIONS = (
    select(STANDING, func.coalesce(region_lessons.c.tests, 0), func.coalesce(region_lessons.c.contributors, 0))
    .outerjoin(region_lessons, region_lessons.c.region == STANDING.c.region)
    .order_by(STANDING.c.region)
)


async def put_sources(connection: Connection, affected: Iterable[str], rows: Collection[SourceFiguresRow]) -> None:
    """Replace the figures of affected sources; those without a row lose theirs."""
    await execute(connection, DROP, sources=list(affected))
    await add(connection, source_figures, values(rows))


async def of_sources(connection: Connection, ids: Iterable[str]) -> dict[str, SourceFiguresRow]:
    """Return the figures of those of these sources that have any."""
    rows = await fetch_as(SourceFiguresRow, connection, OF_SOURCES, sources=list(ids))
    return {row.source: row for row in rows}


async def put_months(connection: Connection, affected: Iterable[Month], rows: Collection[RegionMonthRow]) -> None:
    """Replace the figures of affected months; those without a row lose theirs."""
    by_region: defaultdict[str, list[str]] = defaultdict(list)
    for region, month in affected:
        by_region[region].append(month)
    for region, names in by_region.items():
        await execute(connection, DROP_MONTHS, in_region=region, months=names)
    await add(connection, region_months, values(rows))


async def months_of(connection: Connection, region: str) -> list[RegionMonthRow]:
    """Return the months of a region, oldest first."""
    return await fetch_as(RegionMonthRow, connection, OF_REGION, in_region=region)


async def regions(connection: Connection) -> list[RegionRow]:
    """Return every region that has a source, by code."""
    return [RegionRow(*row) for row in await fetch(connection, REGIONS)]
