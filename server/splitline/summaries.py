"""Figures of what a batch touched, computed in its own transaction; the cost depends on the batch."""

import asyncio
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from msgspec import json

from splitline import learning
from splitline.statistics.lessons import Lessons, figures_of
from splitline.statistics.robust import huber
from splitline.store import figures, lessons, sources, tests
from splitline.store.engine import Connection
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.tests import Month


@dataclass(slots=True)
class Touched:
    """Whose figures have to be computed again."""

    sources: set[str] = field(default_factory=set)
    months: set[Month] = field(default_factory=set)
    regions: set[str] = field(default_factory=set)
    contributors: set[str] = field(default_factory=set)

    def add(self, row: Row | None) -> None:
        """Note what a record takes part in, before or after its change."""
        if isinstance(row, SourceRow):
            self.sources.add(row.id)
        elif row and row.source and row.month:
            self.sources.add(row.source)
            self.months.add((row.region, row.month))
            self.regions.add(row.region)
            self.contributors.add(row.contributor)


async def refresh(connection: Connection, touched: Touched, now: datetime) -> None:
    """Compute and write the figures of everything touched. now: the moment they are for."""
    in_months = await tests.pumped_in(connection, touched.months)
    await figures.put_months(connection, touched.months, _of_months(in_months))
    if touched.regions:
        await figures.recount(connection, touched.regions, touched.contributors)
    taught = await learning.learn_grown(connection, touched.regions, now)
    await _put_sources(connection, touched.sources | await sources.ids_in(connection, taught), now)


async def renew(connection: Connection, region: str, now: datetime) -> None:
    """Learn from a region of any size, and compute the figures of all its sources again."""
    counts = await lessons.tests_in(connection, [region])
    await learning.learn(connection, region, counts.get(region, 0), now)
    await _put_sources(connection, await sources.ids_in(connection, [region]), now)


async def _put_sources(connection: Connection, affected: set[str], now: datetime) -> None:
    pumped = await tests.pumped_at(connection, affected, now - learning.REMEMBERED)
    taught = await learning.known(connection, {row.region for row in pumped})
    rows = await asyncio.to_thread(_of_sources, pumped, taught, learning.day_of(now))
    await figures.put_sources(connection, affected, rows)


def _of_sources(rows: Iterable[TestRow], taught: Mapping[str, Lessons], now_day: float) -> list[SourceFiguresRow]:
    by_source: defaultdict[tuple[str, str], list[TestRow]] = defaultdict(list)
    for row in rows:
        by_source[row.region, row.source or ""].append(row)
    found = []
    for (region, source), group in sorted(by_source.items()):
        known = figures_of(learning.visits_at(group), taught.get(region, learning.NOTHING), now_day)
        if known:
            text = json.encode(known).decode()
            found.append(SourceFiguresRow(region=region, source=source, tests=len(group), figures=text))
    return found


def _of_months(rows: Iterable[TestRow]) -> list[RegionMonthRow]:
    by_month: defaultdict[Month, list[TestRow]] = defaultdict(list)
    for row in rows:
        by_month[row.region, row.month or ""].append(row)
    return [_month(key, group) for key, group in sorted(by_month.items())]


def _month(key: Month, group: Sequence[TestRow]) -> RegionMonthRow:
    """One month: a visit counts once, however many tests were made at it."""
    places = {row.source for row in group}
    visits = [visit for source in places for visit in learning.visits_at(r for r in group if r.source == source)]
    centre, spread = huber([visit.content for visit in visits])
    return RegionMonthRow(
        region=key[0],
        month=key[1],
        sources=len(places),
        tests=len(group),
        contributors=len({row.contributor for row in group}),
        centre=centre,
        spread=spread if len(visits) > 1 else None,
    )


def touched_by(rows: Collection[Row | None]) -> Touched:
    """Return what these rows, old and new, take part in."""
    touched = Touched()
    for row in rows:
        touched.add(row)
    return touched
