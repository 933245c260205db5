"""Figures of what a batch touched, computed in its own transaction; the cost depends on the batch."""

import asyncio
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from msgspec import json

from splitline.statistics.robust import huber
from splitline.statistics.steadiness import estimate
from splitline.statistics.visits import Visit, visits_of
from splitline.store import figures, tests
from splitline.store.engine import Connection
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.tests import Month

REMEMBERED = timedelta(days=730.5)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)


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
    pumped = await tests.pumped_at(connection, touched.sources, now - REMEMBERED)
    rows = await asyncio.to_thread(_of_sources, pumped, day_of(now))
    await figures.put_sources(connection, touched.sources, rows)
    in_months = await tests.pumped_in(connection, touched.months)
    await figures.put_months(connection, touched.months, _of_months(in_months))
    if touched.regions:
        await figures.recount(connection, touched.regions, touched.contributors)


def day_of(moment: datetime) -> float:
    """Return days since 1970-01-01 UTC."""
    return (moment - EPOCH) / DAY


def moment_of(day: float) -> datetime:
    """Return the moment of a day since 1970-01-01 UTC."""
    return EPOCH + day * DAY


def _of_sources(rows: Iterable[TestRow], now_day: float) -> list[SourceFiguresRow]:
    by_source: defaultdict[tuple[str, str], list[TestRow]] = defaultdict(list)
    for row in rows:
        by_source[row.region, row.source or ""].append(row)
    found = []
    for (region, source), group in sorted(by_source.items()):
        known = estimate(visits_of(_visits(group)), now_day)
        if known:
            text = json.encode(known).decode()
            found.append(SourceFiguresRow(region=region, source=source, tests=len(group), estimate=text))
    return found


def _of_months(rows: Iterable[TestRow]) -> list[RegionMonthRow]:
    by_month: defaultdict[Month, list[TestRow]] = defaultdict(list)
    for row in rows:
        by_month[row.region, row.month or ""].append(row)
    return [_month(key, group) for key, group in sorted(by_month.items())]


def _month(key: Month, group: Sequence[TestRow]) -> RegionMonthRow:
    """One month: a visit counts once, however many tests were made at it."""
    sources = {row.source for row in group}
    visits = [visit for source in sources for visit in visits_of(_visits(r for r in group if r.source == source))]
    centre, spread = huber([visit.content for visit in visits])
    return RegionMonthRow(
        region=key[0],
        month=key[1],
        sources=len(sources),
        tests=len(group),
        contributors=len({row.contributor for row in group}),
        centre=centre,
        spread=spread if len(visits) > 1 else None,
    )


def _visits(rows: Iterable[TestRow]) -> list[Visit]:
    return [
        Visit(day_of(row.sampled_at), row.content, row.own_uncertainty, row.shared_uncertainty or 0.0, row.contributor)
        for row in rows
        if row.sampled_at and row.content is not None and row.own_uncertainty
    ]


def touched_by(rows: Collection[Row | None]) -> Touched:
    """Return what these rows, old and new, take part in."""
    touched = Touched()
    for row in rows:
        touched.add(row)
    return touched
