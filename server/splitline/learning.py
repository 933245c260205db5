"""What regions teach, learned anew when they have grown: small ones with the push, large ones by the upkeep."""

import asyncio
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, datetime, timedelta

from msgspec import json

from splitline.statistics.lessons import Figures, Lessons, lessons_of
from splitline.statistics.season import country_of
from splitline.statistics.visits import Visit, visits_of
from splitline.store import lessons, tests
from splitline.store.engine import Connection
from splitline.store.figures import SourceFiguresRow
from splitline.store.lessons import LessonsRow
from splitline.store.rows import TestRow
from splitline.store.tests import Month

REMEMBERED = timedelta(days=730.5)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)
# A region with fewer tests teaches nothing; one with more is learned from by the upkeep, outside any push.
LEAST_TESTS, MOST_IN_PUSH = 10, 300
GROWTH = 1.1
NOTHING = Lessons()


async def known(connection: Connection, regions: Iterable[str]) -> dict[str, Lessons]:
    """Return what these regions teach, where anything was learned."""
    rows = await lessons.of_regions(connection, regions)
    return {region: json.decode(row.lessons, type=Lessons) for region, row in rows.items()}


async def learn_grown(connection: Connection, regions: Collection[str], now: datetime) -> set[str]:
    """Learn from the small regions among these that have grown by a tenth; return them."""
    counts = await lessons.tests_in(connection, regions)
    before = await lessons.of_regions(connection, regions)
    grown = {
        region
        for region, count in counts.items()
        if LEAST_TESTS <= count <= MOST_IN_PUSH and (region not in before or count >= GROWTH * before[region].tests)
    }
    for region in sorted(grown):
        await learn(connection, region, counts[region], now)
    return grown


async def learn(connection: Connection, region: str, count: int, now: datetime) -> None:
    """Learn from one region's tests of the last two years. count: how many tests it has."""
    rows = await tests.pumped_in(connection, _months(region, now))
    found = await asyncio.to_thread(lessons_of, _by_source(rows), await _country_around(connection, region))
    text = json.encode(found).decode()
    await lessons.put(connection, LessonsRow(region=region, tests=count, lessons=text, learned_at=now))


async def _country_around(connection: Connection, region: str) -> tuple[float, ...] | None:
    """The season of the country's other regions; None where nothing was learned from any."""
    rows = [row for row in await lessons.of_country(connection, region[:2]) if row.region != region]
    return country_of([(row.tests, json.decode(row.lessons, type=Lessons).months) for row in rows])


def figures_in(row: SourceFiguresRow) -> Figures:
    """Return the figures of a source as they were kept."""
    return json.decode(row.figures, type=Figures)


def visits_at(rows: Iterable[TestRow]) -> list[Visit]:
    """Return the visits of tests at one source, oldest first."""
    return visits_of(
        Visit(
            day_of(row.sampled_at),
            row.content,
            row.own_uncertainty,
            row.shared_uncertainty or 0.0,
            row.contributor,
            row.tube or "",
        )
        for row in rows
        if row.sampled_at and row.content is not None and row.own_uncertainty
    )


def day_of(moment: datetime) -> float:
    """Return days since 1970-01-01 UTC."""
    return (moment - EPOCH) / DAY


def moment_of(day: float) -> datetime:
    """Return the moment of a day since 1970-01-01 UTC."""
    return EPOCH + day * DAY


def _by_source(rows: Iterable[TestRow]) -> Mapping[str, list[Visit]]:
    groups: defaultdict[str, list[TestRow]] = defaultdict(list)
    for row in rows:
        groups[row.source or ""].append(row)
    return {source: visits_at(group) for source, group in groups.items()}


def _months(region: str, now: datetime) -> list[Month]:
    """The calendar months of the last two years."""
    first = now - REMEMBERED
    count = 12 * (now.year - first.year) + now.month - first.month + 1
    numbers = (12 * first.year + first.month - 1 + k for k in range(count))
    return [(region, f"{number // 12:04d}-{number % 12 + 1:02d}") for number in numbers]
