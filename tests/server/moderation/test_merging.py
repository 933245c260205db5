"""One place entered twice: proposed for merging, merged, unmerged; on both databases."""

from datetime import UTC, datetime
from typing import Any

import pytest

from helpers.api_client import Client, fetch
from helpers.examples import (
    IN_FR_15,
    IN_FR_63,
    Json,
    identifier,
    person,
    reading,
    retraction,
    source,
    texts,
)
from helpers.stored_rows import rows
from splitline.answers import Answer
from splitline.app import open_services
from splitline.config import Settings
from splitline.errors import Unusable
from splitline.figures.schedule import bring_up
from splitline.figures.worker import Here
from splitline.intake.intake import Intake
from splitline.moderation.decisions import Moderator, merge, unmerge
from splitline.store import figures, merges, sequence
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW)
FAR = (45.80, 3.10)
ONE, OTHER = identifier(1), identifier(2)


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


def remarks(answer: Answer) -> list[tuple[str, str]]:
    return [(problem.code, problem.value) for problem in answer.problems]


async def known(store: Store) -> dict[str, int]:
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        found = await figures.of_sources(connection, [ONE, OTHER])
    return {source: row.tests for source, row in found.items()}


async def months(store: Store, region: str = "FR-63") -> list[tuple[int, int, int]]:
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        rows = await figures.months_of(connection, region)
    return [(row.sources, row.tests, row.contributors) for row in rows]


async def test_a_new_source_near_another_is_flagged_with_its_id(intake: Intake) -> None:
    first, second = await push(intake, source(1), source(2, (45.7501, 3.05)))
    assert (remarks(first), remarks(second)) == ([], [("similar_source", ONE)])
    assert second.status == "stored"
    [third] = await push(intake, source(3, (45.7502, 3.05)), by=2)
    assert remarks(third) == [("similar_source", OTHER)], "the nearest"
    [again] = await push(intake, source(3, (45.7502, 3.05)), by=2)
    assert (again.status, remarks(again)) == ("known", [("similar_source", OTHER)])
    [far] = await push(intake, source(4, FAR), by=2)
    assert remarks(far) == []
    [moved] = await push(intake, source(3, IN_FR_15, revision=2), by=2)
    assert remarks(moved) == []


async def test_a_source_across_a_border_counts_as_near(intake: Intake, store: Store) -> None:
    """Two sources 300 m apart, on either side of a border, as their contributors state."""
    both = [
        source(1, (45.3735, 2.9), name="Halt am Moor", subdivision="FR-63"),
        source(2, (45.3705, 2.9), name="Halt am Moor", subdivision="FR-15"),
    ]
    answers = await push(intake, *both)
    assert [answer.region for answer in answers] == ["FR-63", "FR-15"]
    assert ("similar_source", ONE) in remarks(answers[1])
    await push(intake, reading(1, at=1), reading(2, at=2))
    await merge(store, OTHER, ONE, BY)
    assert await known(store) == {ONE: 2}
    assert (await months(store, "FR-63"), await months(store, "FR-15")) == ([(1, 1, 1)], [(1, 1, 1)])


async def test_the_tests_of_a_merged_source_count_at_the_survivor(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2, FAR), reading(1, at=1), reading(2, at=2))
    await push(intake, reading(3, at=2), by=2)
    assert (await known(store), await months(store)) == ({ONE: 1, OTHER: 2}, [(2, 3, 2)])
    await merge(store, OTHER, ONE, BY)
    assert (await known(store), await months(store)) == ({ONE: 3}, [(1, 3, 2)])
    await push(intake, reading(4, at=2), by=3)
    assert (await known(store), await months(store)) == ({ONE: 4}, [(1, 4, 3)])
    await unmerge(store, OTHER, BY)
    assert (await known(store), await months(store)) == ({ONE: 1, OTHER: 3}, [(2, 4, 3)])
    async with store.read() as connection:
        [row] = await merges.of_source(connection, OTHER)
    assert (row.into, row.merged_by, row.merged_at, row.undone_at) == (ONE, "Ada", NOW, NOW)


async def test_a_merge_across_regions_leaves_each_test_in_its_region(intake: Intake, store: Store) -> None:
    await push(intake, source(1, IN_FR_63), source(2, IN_FR_15), reading(1, at=1), reading(2, at=2))
    await merge(store, OTHER, ONE, BY)
    assert await known(store) == {ONE: 2}
    async with store.read() as connection:
        row = (await figures.of_sources(connection, [ONE]))[ONE]
    assert row.region == "FR-63"
    assert (await months(store, "FR-63"), await months(store, "FR-15")) == ([(1, 1, 1)], [(1, 1, 1)])


async def test_a_merged_source_can_be_corrected_and_withdrawn(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2, FAR), reading(1, at=1), reading(2, at=2))
    await merge(store, OTHER, ONE, BY)
    await push(intake, source(2, FAR, revision=2, name="Another name"))
    assert await known(store) == {ONE: 2}
    [answer] = await push(intake, retraction(source(1)))
    assert [problem.code for problem in answer.problems] == ["source_in_use"]
    await push(intake, retraction(source(2), 3))
    assert await known(store) == {ONE: 1}


async def test_readings_at_merged_sources_are_compared_with_each_other(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2, IN_FR_15), *(reading(24 * number, at=1) for number in range(5)))
    await merge(store, OTHER, ONE, BY)
    odd = {"runs": [{"water": 50.0, "fuel": 50.0, "line": 76.0}], "content": 60.0}
    [held] = await push(intake, reading(20, at=2, **odd), by=2)
    assert held.status == "held"
    [confirming] = await push(intake, reading(21, at=1, **odd), by=3)
    assert confirming.status == "stored"
    assert await known(store) == {ONE: 7}


@pytest.mark.parametrize(
    ("left", "into", "codes"),
    [
        (2, 2, ["merge_itself"]),
        (2, 9, ["merge_not_counted"]),
        (9, 1, ["merge_not_counted"]),
        (3, 2, ["merge_not_counted"]),
        (2, 3, ["merge_not_counted"]),
        (1, 2, ["merge_stands_for_others"]),
    ],
)
async def test_impossible_merges_are_refused(
    intake: Intake, store: Store, left: int, into: int, codes: list[str]
) -> None:
    await push(intake, source(1), source(2), source(3))
    await merge(store, identifier(3), ONE, BY)
    with pytest.raises(Unusable) as raised:
        await merge(store, identifier(left), identifier(into), BY)
    assert [problem.code for problem in raised.value.problems] == codes
    with pytest.raises(Unusable):
        await unmerge(store, ONE, BY)


async def test_list_pull_and_page_show_a_merge(client: Client, chosen: Settings) -> None:
    services = open_services(chosen, lambda: NOW, Here())
    await push(services.intake, source(1), source(2, FAR), reading(1, at=1), reading(2, at=2))
    cursor = (await fetch(client, "/api/v1/pull"))["cursor"]
    await merge(services.store, OTHER, ONE, BY)
    await bring_up(services.store, lambda: NOW)
    [change] = (await fetch(client, "/api/v1/pull", cursor=cursor))["changes"]
    said = {name: change[name] for name in ("id", "kind", "state", "into", "record", "retracted")}
    assert said == {"id": OTHER, "kind": "source", "state": "merged", "into": ONE, "record": None, "retracted": False}
    listed = await fetch(client, "/api/v1/sources", near="45.75,3.05")
    assert [entry["id"] for entry in listed["sources"] + listed["unsampled"]] == [ONE]
    for asked in (ONE, OTHER):
        page: dict[str, Any] = await fetch(client, f"/api/v1/sources/{asked}")
        assert page["id"] == ONE
        assert sorted(test["record"]["source"] for test in page["tests"]) == [ONE, OTHER]
        assert page["figures"]["tests"] == 2
    [region] = (await fetch(client, "/api/v1/regions"))["regions"]
    assert (region["sources"], region["tests"]) == (1, 2)
    await unmerge(services.store, OTHER, BY)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
    [row] = await rows(services.store, head.value - 1)
    assert (row.id, row.state) == (OTHER, "counted")
    await services.store.close()
