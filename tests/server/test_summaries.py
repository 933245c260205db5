"""Figures kept batch by batch are those of everything counted afresh, and cost only what a batch touches."""

from collections import defaultdict
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import pytest
from sqlalchemy import select

from invented import IN_FR_15, IN_FR_63, Json, identifier, person, reading, retraction, source, texts
from splitline import summaries
from splitline.intake import Intake
from splitline.moderation import Moderator, merge
from splitline.store import changes, figures, sequence
from splitline.store.driver import fetch
from splitline.store.engine import Store
from splitline.store.rows import SourceRow
from splitline.store.schema import region_contributors, source_figures

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
PEOPLE, SOURCES, TESTS = 3, 4, 20
BY = Moderator("Ada", NOW, "seen on site")


class Chaos:
    """People who add, correct, move, hold and take back, at random."""

    def __init__(self, seed: int) -> None:
        self._random = Random(seed)
        self._revisions: defaultdict[str, int] = defaultdict(int)

    def batch(self, who: int) -> list[Json]:
        return [self._step(who) for _ in range(self._random.randint(1, 6))]

    def _step(self, who: int) -> Json:
        random = self._random
        if random.random() < 0.25:
            record = source(1 + random.randrange(SOURCES) * PEOPLE + who, random.choice((IN_FR_15, IN_FR_63)))
        else:
            number = random.randrange(TESTS) * PEOPLE + who
            at = 1 + random.randrange(SOURCES * PEOPLE)
            record = reading(number * 25, at=at, sampled=random.choice(("pump", "pump", "pump", "can")))
            record["runs"] = [{"water": 50.0, "fuel": 50.0, "line": round(random.uniform(84, 91), 1)}]
        self._revisions[record["id"]] += 1
        record["revision"] = self._revisions[record["id"]]
        return retraction(record, record["revision"]) if random.random() < 0.08 else record


async def by_hand(store: Store) -> tuple[dict[Any, Any], dict[Any, Any], dict[Any, Any]]:
    """Tests by source, (tests, sources, contributors) by region and month, tests by region and person: of all rows."""
    async with store.read() as connection:
        rows = (await changes.page(connection, await sequence.head(connection), 0, (), 100_000)).rows
    standing = {row.id for row in rows if isinstance(row, SourceRow) and not row.retracted}
    by_source: defaultdict[str, int] = defaultdict(int)
    by_month: defaultdict[tuple[str, str], list[Any]] = defaultdict(list)
    by_person: defaultdict[tuple[str, str], int] = defaultdict(int)
    for row in rows:
        if isinstance(row, SourceRow) or row.state != "counted" or row.sampled != "pump" or row.source not in standing:
            continue
        by_source[row.source or ""] += 1
        by_month[row.region, row.month or ""].append(row)
        by_person[row.region, row.contributor] += 1
    months = {
        key: (len(group), len({row.source for row in group}), len({row.contributor for row in group}))
        for key, group in by_month.items()
    }
    return dict(by_source), months, dict(by_person)


async def as_kept(store: Store) -> tuple[dict[Any, Any], dict[Any, Any], dict[Any, Any]]:
    async with store.read() as connection:
        kept = dict(await fetch(connection, select(source_figures.c.source, source_figures.c.tests)))
        months = {
            (month.region, month.month): (month.tests, month.sources, month.contributors)
            for region in ("FR-15", "FR-63")
            for month in await figures.months_of(connection, region)
        }
        people = {(region, who): tests for region, who, tests in await fetch(connection, select(region_contributors))}
    return kept, months, people


async def all_figures(store: Store) -> dict[str, str]:
    async with store.read() as connection:
        return dict(await fetch(connection, select(source_figures.c.source, source_figures.c.figures)))


@pytest.mark.parametrize("seed", [1, 2, 3])
async def test_kept_figures_are_those_of_a_fresh_count(intake: Intake, store: Store, seed: int) -> None:
    chaos = Chaos(seed)
    for step in range(40):
        who = step % PEOPLE
        await intake.receive(person(who), texts(*chaos.batch(who)), NOW)
    expected, kept = await by_hand(store), await as_kept(store)
    assert kept == expected
    assert len(expected[0]) > 3
    assert len(expected[1]) > 1


@pytest.mark.parametrize("seed", [1, 2, 3])
async def test_figures_with_merged_sources_are_those_made_afresh(intake: Intake, store: Store, seed: int) -> None:
    chaos = Chaos(seed)
    places = [source(number + 1) for number in range(SOURCES * PEOPLE)]
    for who in range(PEOPLE):
        await intake.receive(person(who), texts(*places[who::PEOPLE]), NOW)
    await merge(store, identifier(2), identifier(1), BY)
    await merge(store, identifier(6), identifier(5), BY)
    for step in range(12):
        who = step % PEOPLE
        await intake.receive(person(who), texts(*chaos.batch(who)), NOW)
        followed = await all_figures(store)
        async with store.write() as connection:
            await summaries.renew(connection, [place["id"] for place in places], NOW)
        assert followed == await all_figures(store)
    assert identifier(1) in followed
    assert identifier(2) not in followed


async def test_only_what_is_touched_is_computed_again(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), source(2), reading(1, at=1), reading(2, at=2)), NOW)
    async with store.read() as connection:
        before = await figures.of_sources(connection, [identifier(1), identifier(2)])
    later = NOW + timedelta(days=800)  # by then everything of before would be too old to count
    await intake.receive(person(1), texts(source(3)), later)
    async with store.read() as connection:
        assert await figures.of_sources(connection, [identifier(1), identifier(2)]) == before
    await intake.receive(person(1), texts(reading(2, at=2, revision=2)), later)
    async with store.read() as connection:
        after = await figures.of_sources(connection, [identifier(1), identifier(2)])
    assert after == {identifier(1): before[identifier(1)]}
