"""Pull: whatever the order in which concurrent writers commit, a reader skips no change; on both databases."""

import asyncio
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from invented import IN_FR_15, person, reading, source, texts
from splitline.intake.intake import Intake
from splitline.photos import Photos
from splitline.regions import regions
from splitline.store import changes, schema, sequence
from splitline.store.engine import Store
from splitline.store.rows import Row
from writers import NOW, Plan, Writer, plans

fresh = count(1, 1000)


async def read_along(store: Store, after: int, limit: int, done: asyncio.Event) -> list[Row]:
    """Pull page by page while others write, and on until nothing is left."""
    seen: list[Row] = []
    while True:
        finished = done.is_set()
        async with store.read() as connection:
            head = await sequence.head(connection)
            page = await changes.page(connection, head, after, (), limit)
        assert all(row.sequence > after for row in page.rows)
        assert [row.sequence for row in page.rows] == sorted({row.sequence for row in page.rows})
        seen += page.rows
        after = page.upto
        if finished and not page.more:
            return seen
        await asyncio.sleep(0)


async def interleaved(url: str, folder: Path, plan: Plan, limit: int) -> None:
    stores = [Store(url) for _ in range(len(plan) + 1)]
    reader, *writing = stores
    async with reader.read() as connection:
        start = (await sequence.head(connection)).value
    base = next(fresh)
    intakes = [Intake(store, regions(), Photos(str(folder), store)) for store in writing]
    writers = [Writer(n, base + 10 * n, intake) for n, intake in enumerate(intakes)]
    done = asyncio.Event()
    following = asyncio.create_task(read_along(reader, start, limit, done))
    await asyncio.gather(*(writer.run(steps) for writer, steps in zip(writers, plan, strict=True)))
    done.set()
    seen = {row.id: row for row in await following}
    async with reader.read() as connection:
        head = await sequence.head(connection)
        everything = (await changes.page(connection, head, start, (), 10_000)).rows
    assert seen == {row.id: row for row in everything}
    for store in stores:
        await store.close()


@settings(max_examples=12, suppress_health_check=list(HealthCheck))
@given(plan=plans, limit=st.integers(1, 4))
def test_no_change_is_skipped(database_url: str, tmp_path: Path, plan: Plan, limit: int) -> None:
    asyncio.run(interleaved(database_url, tmp_path / "photos", plan, limit))


async def test_a_commit_between_the_two_tables_is_not_skipped(
    intake: Intake, store: Store, database_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The worst moment: sources are read already, tests not yet, and somebody commits one of each."""
    other = Store(database_url)
    late = Intake(other, regions(), Photos(str(tmp_path / "photos"), other))
    await intake.receive(person(1), texts(source(1)), NOW)
    reading_table = changes._read

    async def after_a_commit(connection: Any, table: Any, *rest: Any) -> Any:
        if table is schema.tests:
            await late.receive(person(2), texts(source(2), reading(2, at=2)), NOW)
        return await reading_table(connection, table, *rest)

    async with store.read() as connection:
        head = await sequence.head(connection)
        with monkeypatch.context() as patch:
            patch.setattr(changes, "_read", after_a_commit)
            first = await changes.page(connection, head, 0, (), 100)
    async with store.read() as connection:
        head = await sequence.head(connection)
        second = await changes.page(connection, head, first.upto, (), 100)
    assert [row.sequence for row in (*first.rows, *second.rows)] == [1, 2, 3]
    await other.close()


async def test_a_page_at_a_time_is_the_same_as_all_at_once(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1), *(reading(n, at=1) for n in range(10))), NOW)
    async with store.read() as connection:
        head = await sequence.head(connection)
        whole = await changes.page(connection, head, 0, (), 100)
        after, pages = 0, []
        while True:
            page = await changes.page(connection, head, after, (), 3)
            pages += page.rows
            after = page.upto
            if not page.more:
                break
    assert tuple(pages) == whole.rows
    assert len(pages) == 11
    assert not whole.more


async def test_a_region_gets_its_own_and_what_left_it(intake: Intake, store: Store) -> None:
    stay, leave = source(1), source(2)
    await intake.receive(person(1), texts(stay, leave, reading(1, at=2)), NOW)
    await intake.receive(person(1), texts(source(2, IN_FR_15, revision=2), source(3, IN_FR_15)), NOW)
    async with store.read() as connection:
        head = await sequence.head(connection)
        old = (await changes.page(connection, head, 3, ["FR-63"], 100)).rows
        new = (await changes.page(connection, head, 3, ["FR-15"], 100)).rows
    assert {row.id for row in old} == {leave["id"], reading(1, at=2)["id"]}
    assert {row.region for row in old} == {"FR-15"}
    assert len(new) == 3


async def test_a_region_without_changes_still_moves_its_cursor(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), texts(source(1)), NOW)
    async with store.read() as connection:
        head = await sequence.head(connection)
        page = await changes.page(connection, head, 0, ["DE-BY"], 100)
    assert (page.rows, page.upto, page.more) == ((), 1, False)
