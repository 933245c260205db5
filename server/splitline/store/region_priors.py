"""Stored priors of regions, see `figures.priors`."""

from collections.abc import Collection, Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import bindparam, delete, select

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, execute, fetch_as
from splitline.store.rows import values
from splitline.store.schema import region_lessons, tube_offsets


class RegionPriorsRow(Struct, frozen=True, kw_only=True):
    """A region's priors, JSON text of `statistics.priors.Priors` without offsets.

    tests, contributors: of the region; season: JSON text of its own months, see `figures.priors`; day: they are for.
    heaviest: the largest weight of a contributor there.
    """

    region: str
    tests: int
    contributors: int
    lessons: str
    season: str
    day: int
    learned_at: datetime
    heaviest: float = 1.0


class OffsetRow(Struct, frozen=True):
    """How far a contributor's tube reads too high or too low in a region, % (V/V), with its standard uncertainty."""

    region: str
    contributor: str
    tube: str
    offset: float
    uncertainty: float
    sources: int


class DatedOffset(OffsetRow, frozen=True, kw_only=True):
    """The same, with the time it was computed."""

    learned_at: datetime


OFFSETS = select(tube_offsets).where(
    among(tube_offsets.c.region, "regions"), among(tube_offsets.c.contributor, "contributors")
)
OF_REGIONS = select(region_lessons).where(among(region_lessons.c.region, "regions"))
DROPS = [delete(table).where(among(table.c.region, "regions")) for table in (region_lessons, tube_offsets)]
BY_SOMEBODY = (
    select(tube_offsets, region_lessons.c.learned_at)
    .join(region_lessons, region_lessons.c.region == tube_offsets.c.region)
    .where(tube_offsets.c.contributor == bindparam("contributor"))
    .order_by(tube_offsets.c.tube, tube_offsets.c.region)
)
OF_COUNTRY = (
    select(region_lessons)
    .where(region_lessons.c.region.between(bindparam("first"), bindparam("last")))
    .order_by(region_lessons.c.region)
)
OFFSETS_IN = select(tube_offsets).where(among(tube_offsets.c.region, "regions"))


async def put(connection: Connection, region: str, row: RegionPriorsRow | None, offsets: Collection[OffsetRow]) -> None:
    """Replace a region's priors; None if no tests count there any more."""
    for drop in DROPS:
        await execute(connection, drop, regions=[region])
    await add(connection, region_lessons, values([row] if row else []))
    await add(connection, tube_offsets, values(offsets))


async def offsets_in(connection: Connection, region: str) -> list[OffsetRow]:
    """Return the offsets of all tubes in a region, by contributor and tube."""
    rows = await fetch_as(OffsetRow, connection, OFFSETS_IN, regions=[region])
    return sorted(rows, key=lambda row: (row.contributor, row.tube))


async def offsets_of(connection: Connection, regions: Collection[str], contributors: Iterable[str]) -> list[OffsetRow]:
    """Return the offsets of these contributors' tubes in these regions, where known."""
    lists = {"regions": list(regions), "contributors": list(contributors)}
    return await fetch_as(OffsetRow, connection, OFFSETS, **lists)


async def offsets_by(connection: Connection, contributor: str) -> list[DatedOffset]:
    """Return the offsets of a contributor's tubes, one row per tube and region, ordered by both."""
    return await fetch_as(DatedOffset, connection, BY_SOMEBODY, contributor=contributor)


async def of_regions(connection: Connection, regions: Iterable[str]) -> dict[str, RegionPriorsRow]:
    """Return the priors of those of these regions that have any."""
    rows = await fetch_as(RegionPriorsRow, connection, OF_REGIONS, regions=list(regions))
    return {row.region: row for row in rows}


async def of_country(connection: Connection, country: str) -> list[RegionPriorsRow]:
    """Return the priors of a country's regions, by code; country: ISO 3166-1 alpha-2."""
    return await fetch_as(RegionPriorsRow, connection, OF_COUNTRY, first=country, last=f"{country}-~")
