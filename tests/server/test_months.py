"""Months are kept by what batches and moderators take and add, and are those of a full count, on both databases."""

from contextlib import suppress
from datetime import UTC, datetime
from random import Random
from typing import Any

import pytest
from sqlalchemy import Table, select, update

from invented import IN_FR_15, IN_FR_63, Json, identifier, person, reading, retraction, source, texts
from splitline import months, summaries
from splitline.errors import Unusable
from splitline.intake import Intake
from splitline.moderation import Moderator, merge, release, unmerge, withhold
from splitline.store.driver import fetch, tell
from splitline.store.engine import Store
from splitline.store.schema import (
    region_contributors,
    region_month_contributors,
    region_months,
    source_figures,
    sources,
    tests,
)

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW)
PEOPLE, SOURCES, TESTS = 3, 6, 30
KEPT = (region_months, region_month_contributors, region_contributors, source_figures)


class Chaos:
    """People who add, correct, move and take back, and a moderator who takes out, lets in, merges and parts."""

    def __init__(self, intake: Intake, seed: int) -> None:
        self._intake, self._random = intake, Random(seed)
        self._revisions: dict[str, int] = {}
        self._merged: list[str] = []
        self._out: list[str] = []
        self.done: dict[str, int] = {}

    async def step(self) -> None:
        who = self._random.randrange(PEOPLE)
        if self._random.random() < 0.7:
            batch = [self._record(who) for _ in range(self._random.randint(1, 8))]
            for answer in await self._intake.receive(person(who), texts(*batch), NOW):
                self._count(answer.status)
        else:
            await self._moderate()

    async def _moderate(self) -> None:
        """Undoing turns to what was done; what a moderator may not do is not done."""
        random, store = self._random, self._intake.store
        place, other = (identifier(1 + number) for number in random.sample(range(SOURCES), 2))
        chosen = random.choice((place, reading(random.randrange(TESTS), at=1)["id"]))
        acts: dict[str, Any] = {
            "merge": lambda: merge(store, place, other, BY),
            "unmerge": lambda: unmerge(store, random.choice(self._merged or [place]), BY),
            "withhold": lambda: withhold(store, chosen, BY),
            "release": lambda: release(store, random.choice(self._out or [place]), BY),
        }
        name = random.choice(list(acts))
        with suppress(Unusable):
            await acts[name]()
            self._merged += [place] if name == "merge" else []
            self._out += [chosen] if name == "withhold" else []
            self._count(name)

    def _record(self, who: int) -> Json:
        random = self._random
        if random.random() < 0.2:
            # Each source is its recorder's; only they can move it over the border or take it back.
            number = random.randrange(SOURCES // PEOPLE) * PEOPLE + who
            record = source(1 + number, random.choice((IN_FR_15, IN_FR_63)))
        else:
            number = random.randrange(TESTS // PEOPLE) * PEOPLE + who
            record = reading(number, at=1 + random.randrange(SOURCES), sampled=random.choice(("pump", "pump", "can")))
            moment = f"2026-0{random.choice((1, 2))}-01T08:{random.randrange(60):02d}:00Z"
            record |= {"sampled_at": moment, "tested_at": moment}
            record["runs"] = [{"water": 50.0, "fuel": 50.0, "line": round(random.uniform(86, 91), 1)}]
        revision = self._revisions[record["id"]] = self._revisions.get(record["id"], 0) + 1
        record["revision"] = revision
        return retraction(record, revision) if random.random() < 0.06 else record

    def _count(self, what: str) -> None:
        self.done[what] = self.done.get(what, 0) + 1


async def rows_of(store: Store, table: Table) -> list[Any]:
    async with store.read() as connection:
        return sorted(tuple(row) for row in await fetch(connection, select(table)))


async def recount_all(store: Store) -> None:
    """Throw all figures away and count every test afresh."""
    async with store.write() as connection:
        found = await fetch(connection, select(tests.c.region, tests.c.month).distinct())
        for region, month in [row for row in found if row[1]]:
            await months.recount(connection, region, month)
        await summaries.renew(connection, {row[0] for row in await fetch(connection, select(sources.c.id))}, NOW)


async def people_of_regions(store: Store) -> list[tuple[str, str, int]]:
    """Tests by region and person, from the months."""
    found: dict[tuple[str, str], int] = {}
    for region, _, who, count in await rows_of(store, region_month_contributors):
        found[region, who] = found.get((region, who), 0) + count
    return sorted((*key, count) for key, count in found.items())


@pytest.mark.parametrize("seed", [1, 2])
async def test_kept_figures_are_those_of_a_full_count(intake: Intake, store: Store, seed: int) -> None:
    chaos = Chaos(intake, seed)
    for _ in range(80):
        await chaos.step()
    kept = {table.name: await rows_of(store, table) for table in KEPT}
    await recount_all(store)
    assert kept == {table.name: await rows_of(store, table) for table in KEPT}
    assert kept["region_contributors"] == await people_of_regions(store)
    assert {"stored", "replaced", "merge", "unmerge", "withhold", "release"} <= chaos.done.keys()
    assert len(kept["region_months"]) > 1


async def test_a_count_that_is_off_is_noticed(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), reading(1, at=1)), NOW)
    async with store.write() as connection:
        await tell(connection, update(region_months).values(tests=7))
    kept = await rows_of(store, region_months)
    await recount_all(store)
    assert kept != await rows_of(store, region_months)


async def test_a_month_of_an_earlier_version_is_counted_when_it_is_touched(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), reading(1, at=1), reading(2, at=1)), NOW)
    async with store.write() as connection:
        await tell(connection, update(region_months).values(contents=None))
        await tell(connection, region_month_contributors.delete())
    await intake.receive(person(2), texts(reading(3, at=1)), NOW)
    [month] = await rows_of(store, region_months)
    assert month[:5] == ("FR-63", "2026-03", 1, 3, 2)
    assert month[-1] == '{"840":3}'


async def test_a_month_has_a_centre_of_visits_and_a_spread_of_several(intake: Intake, store: Store) -> None:
    first = reading(1, at=1)
    second = reading(2, at=1, runs=[{"water": 50.0, "fuel": 50.0, "line": 89.3}])
    await intake.receive(person(1), texts(source(1), first), NOW)
    [month] = await rows_of(store, region_months)
    assert (month[5], month[6]) == (84.0, None)
    await intake.receive(person(1), texts(second), NOW)
    [month] = await rows_of(store, region_months)
    assert month[5] == pytest.approx(84.45, abs=0.1)
    assert month[6] > 0
    await intake.receive(person(1), texts(retraction(first), retraction(second)), NOW)
    assert await rows_of(store, region_months) == []
