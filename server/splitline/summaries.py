"""Figures of what a batch touches, computed in its own transaction; the cost depends on the batch."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import AsyncIterator, Collection, Iterable, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime

from msgspec import json

from splitline import learning, months
from splitline.statistics.lessons import Lessons, figures_of_several
from splitline.store import figures, merges, pumped, sources
from splitline.store.engine import Connection
from splitline.store.figures import SourceFiguresRow
from splitline.store.pumped import PumpedRow
from splitline.store.rows import Row, SourceRow, only_sources, only_tests


@dataclass(slots=True)
class Touched:
    """Whose figures have to be computed again."""

    sources: set[str] = field(default_factory=set)
    months: set[str] = field(default_factory=set)
    regions: set[str] = field(default_factory=set)

    def add(self, row: Row) -> None:
        """Note what a record takes part in, before or after its change."""
        if isinstance(row, SourceRow):
            self.sources.update((row.id, row.into) if row.into else (row.id,))
        elif row.source and row.month:
            self.sources.add(row.source)
            self.months.add(row.month)
            self.regions.add(row.region)


@asynccontextmanager
async def following(
    connection: Connection, earlier: Collection[Row], later: Collection[Row], now: datetime
) -> AsyncIterator[None]:
    """Keep all figures right around the writing of some rows.

    earlier, later: everything that takes part in figures, as it was and as it becomes. now: the moment that the figures
    are for.
    """
    touched = touched_by([*earlier, *later])
    since = min(now - learning.REMEMBERED, _start(touched.months))
    places = await merges.groups(connection, touched.sources)
    before = await pumped.at(connection, places, since)
    yield
    if only_sources(earlier):
        places = await merges.groups(connection, touched.sources)
        after = await pumped.at(connection, places, since)
    else:
        after = await _followed(connection, before, later, since)
    inside = touched.months.__contains__
    await months.follow(
        connection,
        months.parts_of(row for row in before if inside(row.month)),
        months.parts_of(row for row in after if inside(row.month)),
    )
    taught = await learning.learn_grown(connection, touched.regions, now)
    others = await sources.ids_in(connection, taught) - places.keys()
    after += await pumped.at(connection, await merges.groups(connection, others), now - learning.REMEMBERED)
    await _put_sources(connection, touched.sources | others, after, now)


async def _followed(
    connection: Connection, before: Collection[PumpedRow], later: Collection[Row], since: datetime
) -> list[PumpedRow]:
    """What counts once some tests are written, if no source moved: asking for it takes half as long as writing."""
    written = only_tests(later)
    ids = {row.id for row in written}
    new = {row.id: (row.id, row.region) for row in only_sources(later) if row.state == "counted"}
    stored = await pumped.places(connection, {row.source for row in written if row.source and row.source not in new})
    news = [row for row in pumped.of_tests(written, stored | new) if row.sampled_at >= since]
    return [*(row for row in before if row.id not in ids), *news]


async def renew(connection: Connection, affected: Collection[str], now: datetime) -> None:
    """Compute the figures of some sources again."""
    rows = await pumped.at(connection, await merges.groups(connection, affected), now - learning.REMEMBERED)
    await _put_sources(connection, affected, rows, now)


def touched_by(rows: Collection[Row]) -> Touched:
    """Return what these rows, old and new, take part in."""
    touched = Touched()
    for row in rows:
        touched.add(row)
    return touched


async def _put_sources(
    connection: Connection, affected: Collection[str], rows: Iterable[PumpedRow], now: datetime
) -> None:
    recent = [row for row in rows if row.sampled_at >= now - learning.REMEMBERED]
    regions, contributors = {row.home for row in recent}, {row.contributor for row in recent}
    taught = await learning.known(connection, regions, contributors)
    found = await asyncio.to_thread(_of_sources, recent, taught, learning.day_of(now))
    await figures.put_sources(connection, {*affected, *(row.source for row in found)}, found)


def _of_sources(rows: Iterable[PumpedRow], taught: Mapping[str, Lessons], now_day: float) -> list[SourceFiguresRow]:
    by_source: defaultdict[tuple[str, str], list[PumpedRow]] = defaultdict(list)
    for row in rows:
        by_source[row.home, row.source].append(row)
    groups = sorted(by_source.items())
    visits = [learning.visits_at(group) for _, group in groups]
    lessons = [taught.get(region, learning.NOTHING) for (region, _), _ in groups]
    return [
        SourceFiguresRow(region=region, source=source, tests=len(group), figures=json.encode(known).decode())
        for ((region, source), group), known in zip(groups, figures_of_several(visits, lessons, now_day), strict=True)
    ]


def _start(names: Collection[str]) -> datetime:
    """The start of the first of some months; of no month: never."""
    if not names:
        return datetime.max.replace(tzinfo=UTC)
    year, month = min(names).split("-")
    return datetime(int(year), int(month), 1, tzinfo=UTC)
