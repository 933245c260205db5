"""Updates figures: reads what is stale, has it computed in a worker, and writes it in a short transaction.

Visits come first; from them the figures of sources and months, and the regions' priors; where priors changed, the
region's sources again. Figures are a function of the stored records and the day: whatever the order of changes and
after any interruption, once nothing is stale they equal those computed from scratch.
"""

from collections.abc import Awaitable, Callable, Collection
from contextlib import AbstractAsyncContextManager
from datetime import datetime
from typing import Protocol

from msgspec import json

from splitline.figures import figure_rows, priors
from splitline.figures.compute import Found, Job, OfMonths, OfRegion, OfSources
from splitline.figures.figure_rows import month_named
from splitline.figures.priors import Learned
from splitline.store import (
    changed_visits,
    figures,
    influence,
    merges,
    region_priors,
    sequence,
    sources,
    stale,
    visits,
)
from splitline.store.engine import Connection
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.rows import day_of
from splitline.store.stale import Key, Kind
from splitline.store.visits import Touched

Compute = Callable[[Job], Awaitable[Found]]

VISITS_AT_ONCE, PLACES_AT_ONCE, SOURCES_AT_ONCE, MONTHS_AT_ONCE = 200, 50, 20, 20
"""Per transaction: a push that arrives meanwhile waits for its end."""
TURNS = (25, 1, 5, 5, 1)
"""Most transactions for visits, places, sources, months and regions before the next kind; regions take the longest."""


class Turns(Protocol):
    """Gives transactions on a store, or one transaction that is rolled back."""

    def snapshot(self) -> AbstractAsyncContextManager[Connection]:
        """A read transaction on one snapshot."""

    def write(self) -> AbstractAsyncContextManager[Connection]:
        """A write transaction."""


class Update:
    """Updates the figures of a store, step by step. now: the moment they are computed for."""

    def __init__(self, store: Turns, compute: Compute, now: Callable[[], datetime]) -> None:
        self._store = store
        self._compute = compute
        self._now = now

    async def all(self) -> None:
        """Run until nothing is stale. Raises `StoreUnavailable`."""
        while await self.some():
            pass

    async def some(self) -> bool:
        """Update part of what is stale, oldest first; return whether there was any."""
        steps = (self.renew_visits, self.follow_places, self.renew_sources, self.renew_months, self.learn)
        async with self._store.snapshot() as connection:
            due = await stale.waiting(connection)
        for step, turns, is_due in zip(steps, TURNS, due, strict=True):
            while is_due and turns:
                is_due, turns = await step(), turns - 1
        return any(due)

    async def renew_visits(self) -> bool:
        """Rebuild stale visits and mark dependent figures stale. Return whether there may be more."""
        async with self._store.write() as connection:
            count, since, touched = await changed_visits.renew(connection, VISITS_AT_ONCE)
            await self._follow(connection, touched, {one.source for one in touched}, since)
        return count == VISITS_AT_ONCE

    async def follow_places(self) -> bool:
        """Mark everything stale that depends on a source that appeared, disappeared or moved."""
        async with self._store.write() as connection:
            keys = await stale.oldest(connection, "place", PLACES_AT_ONCE)
            places = {key.key for key in keys}
            places |= (await merges.groups(connection, places)).keys()
            touched = await visits.parts_of(connection, places)
            await self._follow(connection, touched, places, min((key.since for key in keys), default=0))
            await stale.settle(connection, "place", keys, (await sequence.head(connection)).value, self._now())
        return len(keys) == PLACES_AT_ONCE

    async def _follow(
        self, connection: Connection, touched: Collection[Touched], places: Collection[str], since: int
    ) -> None:
        now = self._now()
        stamp = -await sequence.count_figures(connection, now)
        await stale.note(connection, "source", places, since, stamp, now)
        await stale.note(connection, "month", {f"{one.region} {one.month}" for one in touched}, since, stamp, now)
        await stale.note(connection, "region", {one.region for one in touched}, since, stamp, now)

    async def renew_sources(self) -> bool:
        """Compute the figures of some sources."""
        today = day_of(self._now())
        async with self._store.snapshot() as connection:
            head, keys = await self._oldest(connection, "source", SOURCES_AT_ONCE)
            standing = await merges.groups(connection, {key.key for key in keys})
            rows = await visits.at(connection, standing, today)
            known = await figure_rows.known(connection, {row.home for row in rows}, {row.contributor for row in rows})
            groups = figure_rows.by_source(rows)
            seen = await figure_rows.weighed_at(connection, groups)
        job = OfSources(today, [(seen[source], known[group[0].home]) for source, group in groups.items()])
        found = await self._compute(job) if groups else Found()
        made = [
            SourceFiguresRow(source, group[0].home, sum(row.tests for row in group), today, text)
            for (source, group), text in zip(groups.items(), found.sources, strict=True)
        ]
        async with self._store.write() as connection:
            ours = await stale.settle(connection, "source", keys, head, self._now())
            recomputed = {place for key in ours for place in (key, standing.get(key, key))}
            await figures.put_sources(connection, recomputed, [row for row in made if row.source in recomputed])
            await sequence.count_figures(connection, self._now())
        return len(keys) == SOURCES_AT_ONCE

    async def renew_months(self) -> bool:
        """Compute the figures of some months."""
        async with self._store.snapshot() as connection:
            head, keys = await self._oldest(connection, "month", MONTHS_AT_ONCE)
            wanted = {month_named(key.key) for key in keys}
            rows = await visits.in_months(connection, wanted)
        parts = figure_rows.by_month(rows)
        found = await self._compute(OfMonths([[row.content for row in part] for part in parts.values()]))
        made = [
            RegionMonthRow(
                region,
                month,
                len({row.source for row in part}),
                sum(row.tests for row in part),
                len({row.contributor for row in part}),
                said.centre,
                said.spread,
                json.encode(said.contents).decode(),
            )
            for ((region, month), part), said in zip(parts.items(), found.months, strict=True)
        ]
        async with self._store.write() as connection:
            ours = {month_named(key) for key in await stale.settle(connection, "month", keys, head, self._now())}
            await figures.put_months(connection, ours, [row for row in made if (row.region, row.month) in ours])
            await sequence.count_figures(connection, self._now())
        return len(keys) == MONTHS_AT_ONCE

    async def learn(self) -> bool:
        """Compute one region's priors; if they changed, mark its sources stale."""
        today = day_of(self._now())
        async with self._store.snapshot() as connection:
            head, keys = await self._oldest(connection, "region", 1)
            region = keys[0].key if keys else ""
            tests, people = await visits.counts(connection, region)
            rows = await visits.in_region(connection, region, today)
            activity = await influence.activity_in(connection, region, today)
            others = [row for row in await region_priors.of_country(connection, region[:2]) if row.region != region]
        by_source = {source: figure_rows.visits_at(group) for source, group in figure_rows.by_source(rows).items()}
        country = priors.country_around(
            (row.tests, figure_rows.season_in(row)) for row in others if figure_rows.is_ours(row)
        )
        found = await self._compute(OfRegion(by_source, activity, tests, country))
        assert found.region, "a region was asked for"
        async with self._store.write() as connection:
            if await stale.settle(connection, "region", keys, head, self._now()):
                await self._store_priors(connection, keys[0], found.region, tests, people)
        return True

    async def _store_priors(self, connection: Connection, key: Key, what: Learned, tests: int, people: int) -> None:
        """Store a region's priors, and mark the sources and regions stale that use them."""
        region, now = key.key, self._now()
        stamp = -await sequence.count_figures(connection, now)
        before = (await region_priors.of_regions(connection, [region])).get(region)
        offsets_before = await region_priors.offsets_in(connection, region)
        weights_before = set(await influence.weights_in(connection, [region]))
        row, offsets, weights = figure_rows.rows_of(region, what, tests, people, now)
        await region_priors.put(connection, region, row if tests else None, offsets)
        await influence.put_weights(connection, region, weights)
        if before is None or before.lessons != row.lessons or offsets_before != offsets:
            await stale.note(connection, "source", await sources.ids_in(connection, [region]), key.since, stamp, now)
        elif moved := {one.contributor for one in set(weights) - weights_before}:
            await stale.note(
                connection, "source", await visits.places_of(connection, region, moved), key.since, stamp, now
            )
        season_and_weight = (row.season, priors.weight_of(tests))
        if season_and_weight != ((before.season, priors.weight_of(before.tests)) if before else (row.season, 0.0)):
            others = [
                row.region for row in await region_priors.of_country(connection, region[:2]) if row.region != region
            ]
            await stale.note(connection, "region", others, key.since, stamp, now)

    async def _oldest(self, connection: Connection, kind: Kind, most: int) -> tuple[int, list[Key]]:
        """The number of the last visible change, and the oldest keys in the queue."""
        return (await sequence.head(connection)).value, await stale.oldest(connection, kind, most)
