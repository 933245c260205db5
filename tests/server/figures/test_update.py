"""Figures are a function of the stored records: after any history they equal a full recomputation."""

import asyncio
import signal
from collections import Counter, defaultdict
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from datetime import timedelta
from random import Random
from typing import Any

import pytest
from msgspec import json

from helpers.api_client import Client, fetch
from helpers.examples import identifier, person, reading, source, texts
from server.figures.random_history import ACTS, NOW, History
from splitline.figures.compute import Found, Job
from splitline.figures.recompute import recompute_all
from splitline.figures.schedule import Schedule, bring_up
from splitline.figures.update import Update
from splitline.figures.worker import Here, Worker
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import figure_values, figures, sequence, stale
from splitline.store.engine import Connection, Store
from splitline.store.figure_values import Figures
from splitline.store.pull_page import Asked, page


class Killed(Exception):
    """Stands for a killed process."""


class Mortal:
    """A store and a worker that die at random: before a commit, after it, or during a job."""

    def __init__(self, store: Store, random: Random) -> None:
        self._store, self._random = store, random
        self.deaths = 0

    def _die(self) -> None:
        if self._random.random() < 0.2:
            self.deaths += 1
            raise Killed

    @asynccontextmanager
    async def snapshot(self) -> AsyncIterator[Connection]:
        async with self._store.snapshot() as connection:
            yield connection
        self._die()

    @asynccontextmanager
    async def write(self) -> AsyncIterator[Connection]:
        async with self._store.write() as connection:
            yield connection
            self._die()
        self._die()

    async def compute(self, job: Job) -> Found:
        self._die()
        return await Here().compute(job)


@pytest.fixture
def plain(store: Store, photos: Photos) -> Intake:
    """An intake whose figures are updated only when a test says so."""
    return Intake(store, regions(), photos)


async def kept(store: Store) -> Figures:
    async with store.read() as connection:
        return await figure_values.everything(connection)


async def is_stale(store: Store) -> bool:
    async with store.read() as connection:
        return any(await stale.waiting(connection))


@pytest.mark.parametrize("seed", range(4))
async def test_after_any_history_figures_equal_a_full_recomputation(plain: Intake, store: Store, seed: int) -> None:
    history, mortal = History(plain, seed), Mortal(store, Random(seed))
    for _ in range(70):
        await history.step()
        if history.random.random() < 0.4:
            update = Update(mortal, mortal.compute, lambda: NOW)
            with suppress(Killed):
                await update.some()
    await history.let_all_back()
    await bring_up(store, lambda: NOW)
    found = await kept(store)
    assert await recompute_all(store, NOW, keep=False) == []
    assert await recompute_all(store, NOW, keep=True) == []
    assert await kept(store) == found
    assert {"stored", "replaced"} <= history.done.keys()
    assert len(ACTS & history.done.keys()) > 3
    assert mortal.deaths > 5
    tables = Counter(table for table, *_ in found)
    assert tables["visits"] > 5
    assert min(tables["source_figures"], tables["region_months"], tables["region_lessons"]) > 0


async def test_two_concurrent_updates_do_not_conflict(plain: Intake, store: Store) -> None:
    history = History(plain, 7)
    updates = [Update(store, Here().compute, lambda: NOW) for _ in range(2)]
    for _ in range(30):
        await history.step()
        # The two take turns, so that each meets the other's latest work.
        for update in history.random.sample(updates, 2):
            await update.some()
    await bring_up(store, lambda: NOW)
    assert await recompute_all(store, NOW, keep=False) == []


async def test_a_wrong_figure_is_found_and_repaired(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), reading(1, at=1)), NOW)
    right = await kept(store)
    async with store.write() as connection:
        [month] = await figures.months_of(connection, "FR-63")
        wrong = figures.RegionMonthRow(month.region, month.month, 1, 7, 1, month.centre, None, month.contents)
        await figures.put_months(connection, [("FR-63", "2026-03")], [wrong])
        await figures.put_months(connection, [], [wrong_month()])
    spoilt = await kept(store)
    found = await recompute_all(store, NOW, keep=False)
    assert [(one.table, one.key) for one in found] == [
        ("region_months", ("FR-63", "2020-01")),
        ("region_months", ("FR-63", "2026-03")),
    ]
    assert await kept(store) == spoilt, "a check changes nothing"
    assert await recompute_all(store, NOW, keep=True) == found
    assert await kept(store) == right


def wrong_month() -> figures.RegionMonthRow:
    return figures.RegionMonthRow("FR-63", "2020-01", 1, 1, 1, 80.0, None, "{}")


async def by_hand(store: Store) -> tuple[dict[Any, Any], dict[Any, Any]]:
    """Tests by source, and (tests, sources, contributors) by region and month, counted from pulled changes."""
    _, text = await page(store, Asked(0, (), 500))
    changes = json.decode(b"[" + (text or b"") + b"]")
    standing = {one["id"] for one in changes if one["kind"] == "source" and one["record"]}
    by_source: Counter[str] = Counter()
    months: defaultdict[tuple[str, str], list[Any]] = defaultdict(list)
    for one in changes:
        test = one["record"]
        if one["kind"] == "test" and test and test["sampled"] == "pump" and test["source"] in standing:
            by_source[test["source"]] += 1
            months[one["region"], test["sampled_at"][:7]].append((test["source"], one["contributor"]))
    counts = {
        key: (len(group), len({place for place, _ in group}), len({who for _, who in group}))
        for key, group in months.items()
    }
    return dict(by_source), counts


@pytest.mark.parametrize("seed", [11, 12])
async def test_counts_match_the_changes_that_phones_pull(plain: Intake, store: Store, seed: int) -> None:
    history = History(plain, seed)
    history.moderates = False
    for _ in range(40):
        await history.step()
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        sources = await figures.of_sources(connection, [identifier(n) for n in range(1, 20)])
        rows = [row for region in ("FR-15", "FR-63") for row in await figures.months_of(connection, region)]
    by_source, months = await by_hand(store)
    assert {source: row.tests for source, row in sources.items()} == by_source
    assert {(r.region, r.month): (r.tests, r.sources, r.contributors) for r in rows} == months
    assert len(by_source) > 2
    assert len(months) > 1


async def test_all_tests_of_one_person_and_day_at_a_source_count_as_one_visit(intake: Intake, store: Store) -> None:
    """Six tests by one person on one day are one visit with their mean; the next day is another visit."""
    day = [
        reading(
            n, at=1, sampled_at=moment, tested_at=moment, runs=[{"water": 50.0, "fuel": 50.0, "line": 88.0 + n / 5}]
        )
        for n in range(6)
        for moment in [f"2026-03-01T{8 + n:02d}:00:00Z"]
    ]
    answers = await intake.receive(person(1), texts(source(1), *day, reading(30, at=1)), NOW)
    found = [values for (table, *_), values in (await kept(store)).items() if table == "visits"]
    contents = [values[3] for values in found if values[-1] == 6]
    assert contents == [pytest.approx(sum(answer.content or 0.0 for answer in answers[1:7]) / 6)]
    async with store.read() as connection:
        [row] = (await figures.of_sources(connection, [identifier(1)])).values()
    assert (row.tests, json.decode(row.figures)["estimate"]["visits"]) == (7, 2)


async def test_a_visit_averages_at_most_twenty_tests(intake: Intake, store: Store) -> None:
    lines = [88.0 + n / 100 for n in range(25)]
    day = [
        reading(n, at=1, sampled_at=moment, tested_at=moment, runs=[{"water": 50.0, "fuel": 50.0, "line": line}])
        for n, line in enumerate(lines)
        for moment in [f"2026-03-01T{8 + n // 3:02d}:{20 * (n % 3):02d}:00Z"]
    ]
    await intake.receive(person(1), texts(source(1), *day), NOW)
    found = [values for (table, *_), values in (await kept(store)).items() if table == "visits"]
    assert [values[-1] for values in found] == [20]
    assert await recompute_all(store, NOW, keep=False) == []


async def test_only_affected_figures_are_recomputed(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), source(2), reading(1, at=1)), NOW)
    await intake.receive(person(2), texts(reading(2, at=2)), NOW)
    async with store.read() as connection:
        before = await figures.of_sources(connection, [identifier(1), identifier(2)])
    later = NOW + timedelta(days=800)  # by then all earlier tests would be too old to count
    await intake.receive(person(1), texts(source(3)), later)
    async with store.read() as connection:
        assert await figures.of_sources(connection, [identifier(1), identifier(2)]) == before
    await intake.receive(person(2), texts(reading(2, at=2, revision=2)), later)
    async with store.read() as connection:
        after = await figures.of_sources(connection, [identifier(1), identifier(2)])
    assert after == {identifier(1): before[identifier(1)]}


async def test_a_page_states_the_last_change_in_its_figures(client: Client, plain: Intake, store: Store) -> None:
    await plain.receive(person(1), texts(source(1), reading(1, at=1)), NOW)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 2
        assert await stale.first(connection) == 2
    await bring_up(store, lambda: NOW)
    paths = ("sources", f"sources/{identifier(1)}", "regions/FR-63", "regions/FR-63/dataset.geojson")
    for path in paths:
        near = {"near": "45.75,3.05"} if path == "sources" else {}
        said = (await fetch(client, f"/api/v1/{path}", **near))["figures_upto"]
        assert (said["sequence"], said["at"][:10]) == (2, "2026-04-01"), path


async def test_the_worker_process_computes_the_same_figures(plain: Intake, store: Store) -> None:
    await plain.receive(person(1), texts(source(1), *(reading(24 * n, at=1) for n in range(12))), NOW)
    worker = Worker()
    try:
        await Update(store, worker.compute, lambda: NOW).all()
        assert not await is_stale(store)
        process = worker._process
        assert process is not None
        await plain.receive(person(1), texts(reading(24 * 20, at=1)), NOW)
        process.send_signal(signal.SIGSTOP)
        working = asyncio.create_task(Update(store, worker.compute, lambda: NOW).all())
        await asyncio.sleep(0.5)
        process.kill()
        with pytest.raises((EOFError, OSError)):
            await working
        assert await is_stale(store), "a worker that died left its job in the queue"
        await Update(store, worker.compute, lambda: NOW).all()
    finally:
        await worker.stop()
    assert await recompute_all(store, NOW, keep=False) == []


class Slow(Here):
    async def compute(self, job: Job) -> Found:
        await asyncio.sleep(0.2)
        return await super().compute(job)


async def test_it_rests_while_records_come_and_no_longer(plain: Intake, store: Store) -> None:
    await plain.receive(person(1), texts(source(1), *(reading(24 * n, at=1) for n in range(12))), NOW)
    steps: list[float] = []
    schedule = Schedule(store, Slow(), lambda: NOW, steps.append)
    running = asyncio.create_task(schedule.run())
    for _ in range(120):
        schedule.records_came()
        await asyncio.sleep(0.02)
    assert len(steps) <= 2, "visits, and what follows them; then it rests nine times as long as that took"
    assert await is_stale(store)
    for _ in range(100):
        await asyncio.sleep(0.05)
        if not await is_stale(store):
            break
    assert not await is_stale(store), "it does not rest to the end when nobody sends any more"
    running.cancel()
    await asyncio.gather(running, return_exceptions=True)


@pytest.mark.parametrize("ticks", range(4))
async def test_a_server_stops_right_after_records_came(store: Store, ticks: int) -> None:
    schedule = Schedule(store, Here(), lambda: NOW)
    await schedule.catch_up()
    running = asyncio.create_task(schedule.run())
    await asyncio.sleep(0.2)
    schedule.records_came()
    for _ in range(ticks):
        await asyncio.sleep(0)
    running.cancel()
    done, _ = await asyncio.wait([running], timeout=60)
    assert done
