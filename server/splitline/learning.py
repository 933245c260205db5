"""What regions teach, learned again when they have grown by a tenth.

Learning reads a whole region, so a push learns from small ones only; `upkeep.py` learns from large ones while serving.
"""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta

from msgspec import json

from splitline.statistics.lessons import Figures, Lessons, lessons_of, owner_named, parted
from splitline.statistics.offsets import TubeOffset
from splitline.statistics.season import country_of
from splitline.statistics.visits import Visit, visits_of
from splitline.store import lessons, pumped
from splitline.store.engine import Connection
from splitline.store.figures import SourceFiguresRow
from splitline.store.lessons import LessonsRow, OffsetRow
from splitline.store.pumped import PumpedRow

REMEMBERED = timedelta(days=730.5)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SECONDS_A_DAY = 86400.0
# A region with fewer tests teaches nothing; one with more is learned from by the upkeep, outside any push.
LEAST_TESTS, MOST_IN_PUSH = 10, 300
GROWTH = 1.1
NOTHING = Lessons()


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned from a region at a moment. tests: how many it had."""

    region: str
    tests: int
    lessons: Lessons
    at: datetime


async def known(connection: Connection, regions: Collection[str], contributors: Iterable[str]) -> dict[str, Lessons]:
    """Return what these regions teach, and of these contributors' tubes, where anything was learned."""
    rows = await lessons.of_regions(connection, regions)
    offsets: defaultdict[str, dict[str, TubeOffset]] = defaultdict(dict)
    for row in await lessons.offsets_of(connection, rows.keys(), contributors):
        offset = TubeOffset(row.offset, row.uncertainty, row.sources)
        offsets[row.region][owner_named(row.contributor, row.tube)] = offset
    taught = {region: json.decode(row.lessons, type=Lessons) for region, row in rows.items()}
    return {region: replace(lesson, offsets=offsets[region]) for region, lesson in taught.items()}


async def learn_grown(connection: Connection, regions: Collection[str], now: datetime) -> set[str]:
    """Learn from the small regions among these that have grown by a tenth; return them."""
    counts = await lessons.tests_in(connection, regions)
    small = {region for region, count in counts.items() if LEAST_TESTS <= count <= MOST_IN_PUSH}
    before = await lessons.of_regions(connection, small)
    grown = {r for r in small if r not in before or counts[r] >= GROWTH * before[r].tests}
    for region in sorted(grown):
        await keep(connection, await learned(connection, region, now))
    return grown


async def learned(connection: Connection, region: str, now: datetime) -> Learned:
    """Return what a region's tests of the last two years teach; nothing is written."""
    counts = await lessons.tests_in(connection, [region])
    rows = await pumped.in_months(connection, region, _months(now))
    found = await asyncio.to_thread(lessons_of, _by_source(rows), await _country_around(connection, region))
    return Learned(region, counts.get(region, 0), found, now)


async def keep(connection: Connection, what: Learned) -> None:
    """Keep what was learned from a region."""
    text = json.encode(replace(what.lessons, offsets=None)).decode()
    row = LessonsRow(region=what.region, tests=what.tests, lessons=text, learned_at=what.at)
    offsets = [
        OffsetRow(region=what.region, contributor=contributor, tube=tube, **asdict(offset))
        for owner, offset in (what.lessons.offsets or {}).items()
        for contributor, tube in [parted(owner)]
    ]
    await lessons.put(connection, row, offsets)


async def _country_around(connection: Connection, region: str) -> tuple[float, ...] | None:
    """The season of the country's other regions; None where nothing was learned from any."""
    rows = [row for row in await lessons.of_country(connection, region[:2]) if row.region != region]
    return country_of([(row.tests, json.decode(row.lessons, type=Lessons).months) for row in rows])


def figures_in(row: SourceFiguresRow) -> Figures:
    """Return the figures of a source as they were kept."""
    return json.decode(row.figures, type=Figures)


def visits_at(rows: Iterable[PumpedRow]) -> list[Visit]:
    """Return the visits of tests at one source, oldest first."""
    return visits_of(
        Visit(
            day_of(row.sampled_at),
            row.content,
            row.own_uncertainty,
            row.shared_uncertainty,
            row.contributor,
            row.tube or "",
        )
        for row in rows
    )


def day_of(moment: datetime) -> float:
    """Return days since 1970-01-01 UTC."""
    return moment.timestamp() / SECONDS_A_DAY


def moment_of(day: float) -> datetime:
    """Return the moment of a day since 1970-01-01 UTC."""
    return EPOCH + timedelta(days=day)


def _by_source(rows: Iterable[PumpedRow]) -> Mapping[str, list[Visit]]:
    groups: defaultdict[str, list[PumpedRow]] = defaultdict(list)
    for row in rows:
        groups[row.source].append(row)
    return {source: visits_at(group) for source, group in groups.items()}


def _months(now: datetime) -> list[str]:
    """The calendar months of the last two years."""
    first = now - REMEMBERED
    count = 12 * (now.year - first.year) + now.month - first.month + 1
    numbers = (12 * first.year + first.month - 1 + k for k in range(count))
    return [f"{number // 12:04d}-{number % 12 + 1:02d}" for number in numbers]
