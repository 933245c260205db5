"""What regions teach, as kept by `learning.py`."""

from collections.abc import Collection, Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import delete, func, or_, select

from splitline.store.driver import Connection, add, fetch, fetch_as, tell
from splitline.store.lists import among
from splitline.store.rows import values
from splitline.store.schema import region_lessons, region_months, tube_offsets


class LessonsRow(Struct, frozen=True, kw_only=True):
    """The lessons of a region, JSON text of `statistics.lessons.Lessons` without offsets; tests: from how many."""

    region: str
    tests: int
    lessons: str
    learned_at: datetime


class OffsetRow(Struct, frozen=True, kw_only=True):
    """What somebody's tube reads too high or too low in a region, % (V/V), with its standard uncertainty."""

    region: str
    contributor: str
    tube: str
    offset: float
    uncertainty: float
    sources: int


class DatedOffset(OffsetRow, frozen=True, kw_only=True):
    """The same, and when it was learned."""

    learned_at: datetime


OFFSETS = select(tube_offsets).where(
    among(tube_offsets.c.region, "regions"), among(tube_offsets.c.contributor, "contributors")
)
OF_REGIONS = select(region_lessons).where(among(region_lessons.c.region, "regions"))
TESTS_IN = (
    select(region_months.c.region, func.sum(region_months.c.tests))
    .where(among(region_months.c.region, "regions"))
    .group_by(region_months.c.region)
)


async def put(connection: Connection, row: LessonsRow, offsets: Collection[OffsetRow]) -> None:
    """Keep what a region teaches now."""
    for table in (region_lessons, tube_offsets):
        await tell(connection, delete(table).where(table.c.region == row.region))
    await add(connection, region_lessons, values([row]))
    await add(connection, tube_offsets, values(offsets))


async def offsets_of(connection: Connection, regions: Collection[str], contributors: Iterable[str]) -> list[OffsetRow]:
    """Return what these contributors' tubes are off by in these regions, where that is known."""
    lists = {"regions": list(regions), "contributors": list(contributors)}
    return await fetch_as(OffsetRow, connection, OFFSETS, **lists)


async def offsets_by(connection: Connection, contributor: str) -> list[DatedOffset]:
    """Return what somebody's tubes are off by, a line for each tube and region, by tube and region."""
    statement = (
        select(tube_offsets, region_lessons.c.learned_at)
        .join(region_lessons, region_lessons.c.region == tube_offsets.c.region)
        .where(tube_offsets.c.contributor == contributor)
        .order_by(tube_offsets.c.tube, tube_offsets.c.region)
    )
    return await fetch_as(DatedOffset, connection, statement)


async def of_regions(connection: Connection, regions: Iterable[str]) -> dict[str, LessonsRow]:
    """Return the lessons of these regions, where there are any."""
    rows = await fetch_as(LessonsRow, connection, OF_REGIONS, regions=list(regions))
    return {row.region: row for row in rows}


async def of_country(connection: Connection, country: str) -> list[LessonsRow]:
    """Return the lessons of a country's regions; country: ISO 3166-1 alpha-2."""
    statement = select(region_lessons).where(region_lessons.c.region.startswith(country, autoescape=True))
    return await fetch_as(LessonsRow, connection, statement)


async def tests_in(connection: Connection, regions: Iterable[str]) -> dict[str, int]:
    """Return how many tests count in these regions: months are fewer than contributors."""
    rows = await fetch(connection, TESTS_IN, regions=list(regions))
    return {region: int(tests) for region, tests in rows}


async def due(connection: Connection, growth: float, before: datetime) -> list[str]:
    """Return the regions that have grown by `growth` since they were learned from, or were so before a moment."""
    counted = (
        select(region_months.c.region, func.sum(region_months.c.tests).label("tests"))
        .group_by(region_months.c.region)
        .subquery()
    )
    statement = (
        select(counted.c.region)
        .outerjoin(region_lessons, region_lessons.c.region == counted.c.region)
        .where(
            or_(
                region_lessons.c.region.is_(None),
                counted.c.tests >= growth * region_lessons.c.tests,
                region_lessons.c.learned_at < before,
            )
        )
        .order_by(counted.c.region)
    )
    return [region for (region,) in await fetch(connection, statement)]
