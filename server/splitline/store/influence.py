"""Contributors' days with reports, and their weights in each region."""

from collections.abc import Collection, Iterable

from msgspec import Struct
from sqlalchemy import bindparam, delete, distinct, func, select

from splitline.statistics.influence import Activity
from splitline.store.array_param import among
from splitline.store.driver import Connection, add, execute, fetch, fetch_as, put
from splitline.store.schema import contributor_weights, region_lessons, reports, visits
from splitline.store.visits import REMEMBERED

Report = tuple[str, str, int]
"""Contributor, region, day of receipt."""


class WeightRow(Struct, frozen=True):
    """A contributor's weight in a region, 0..1, see `statistics.influence`."""

    region: str
    contributor: str
    weight: float


ACTIVITY = (
    select(
        reports.c.contributor,
        func.min(reports.c.day),
        func.max(reports.c.day),
        func.count(distinct(reports.c.day)),
        func.count(distinct(reports.c.region)),
    )
    .where(
        reports.c.day < bindparam("today"),
        reports.c.contributor.in_(
            select(visits.c.contributor).where(
                visits.c.region == bindparam("region"), visits.c.day >= bindparam("since")
            )
        ),
    )
    .group_by(reports.c.contributor)
)
DROP = delete(contributor_weights).where(contributor_weights.c.region == bindparam("region"))
IN_REGIONS = select(contributor_weights).where(among(contributor_weights.c.region, "regions"))
OF = IN_REGIONS.where(among(contributor_weights.c.contributor, "contributors"))


HEAVIEST = select(region_lessons.c.region, region_lessons.c.heaviest).where(among(region_lessons.c.region, "regions"))


async def note(connection: Connection, some: Iterable[Report]) -> None:
    """Store that counted tests were received, once per day."""
    await put(connection, reports, sorted(set(some)))


async def activity_in(connection: Connection, region: str, today: int) -> dict[str, Activity]:
    """Return the activity, before today, of everybody with visits in a region."""
    rows = await fetch(connection, ACTIVITY, region=region, since=today - REMEMBERED, today=today)
    return {contributor: Activity(*days) for contributor, *days in rows}


async def put_weights(connection: Connection, region: str, rows: Collection[WeightRow]) -> None:
    """Replace the weights in a region."""
    await execute(connection, DROP, region=region)
    await add(connection, contributor_weights, [(row.region, row.contributor, row.weight) for row in rows])


async def weights_in(connection: Connection, regions: Collection[str]) -> list[WeightRow]:
    """Return all weights in some regions."""
    return await fetch_as(WeightRow, connection, IN_REGIONS, regions=list(regions))


async def weights_of(
    connection: Connection, regions: Collection[str], contributors: Iterable[str]
) -> dict[tuple[str, str], float]:
    """Return these contributors' weights in these regions, by region and contributor, where known."""
    rows = await fetch_as(WeightRow, connection, OF, regions=list(regions), contributors=sorted(set(contributors)))
    return {(row.region, row.contributor): row.weight for row in rows}


async def heaviest_in(connection: Connection, regions: Collection[str]) -> dict[str, float]:
    """Return the largest weight in each of these regions, where known."""
    return dict(await fetch(connection, HEAVIEST, regions=list(regions)))
