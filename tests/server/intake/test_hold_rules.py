"""Readings far from the others are held for a second person; on both databases."""

from datetime import UTC, datetime

import pytest

from helpers.examples import IN_FR_15, Json, identifier, person, reading, source, texts
from helpers.stored_rows import rows
from splitline.answers import Answer
from splitline.intake.intake import Intake
from splitline.store import figures, sequence, tests
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
USUAL, ODD = 88.8, 76.0  # mL: 84 % and about 60 %


def read(number: int, line: float, at: int = 1, **changed: object) -> Json:
    return reading(number, at=at, **{"runs": [{"water": 50.0, "fuel": 50.0, "line": line}], **changed})


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


async def state(store: Store, record: Json) -> tuple[str, tuple[str, ...]]:
    async with store.read() as connection:
        row = (await tests.by_ids(connection, [record["id"]]))[record["id"]]
    return row.state, tuple(flag for flag in row.flags if flag != "content_differs")


async def counted(store: Store) -> int:
    async with store.read() as connection:
        return (await figures.of_sources(connection, [identifier(1)]))[identifier(1)].tests


@pytest.fixture
async def usual(intake: Intake) -> None:
    """A source with five readings."""
    answers = await push(intake, source(1), *(read(number, USUAL + number / 10) for number in range(5)))
    assert [answer.status for answer in answers] == ["stored"] * 6


@pytest.mark.usefixtures("usual")
async def test_an_odd_reading_is_held_and_its_contributor_informed(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    [answer] = await push(intake, odd, by=2)
    assert answer.status == "held"
    problem = answer.problems[0]
    assert (problem.code, problem.field) == ("out_of_line", "content")
    assert float(problem.value) == pytest.approx(answer.content or 0.0, abs=0.05)
    low, high = map(float, problem.limit.split(".."))
    assert low < 84 < high
    assert await counted(store) == 5
    [again] = await push(intake, odd, by=2)
    assert (again.status, again.problems[0].code) == ("held", "out_of_line")


@pytest.mark.usefixtures("usual")
async def test_an_odd_reading_is_held_beside_a_refused_one_of_the_same_id(intake: Intake, store: Store) -> None:
    """Two records of a batch with one id are not confused."""
    nowhere, odd = read(20, USUAL, at=99), read(20, ODD)
    assert nowhere["id"] == odd["id"]
    assert [answer.status for answer in await push(intake, nowhere, odd, by=2)] == ["refused", "held"]
    assert await state(store, odd) == ("held", ("out_of_line",))


@pytest.mark.usefixtures("usual")
async def test_a_matching_reading_by_a_second_person_makes_both_count(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    await push(intake, odd, by=2)
    same = read(21, ODD + 0.2)
    [own] = await push(intake, read(22, ODD), by=2)
    assert own.status == "held", "nobody can confirm their own reading"
    async with store.read() as connection:
        before = (await sequence.head(connection)).value
    [answer] = await push(intake, same, by=3)
    assert answer.status == "stored"
    assert await state(store, odd) == ("counted", ())
    assert await counted(store) == 8
    changed = await rows(store, before)
    assert {row.id for row in changed} == {odd["id"], same["id"], read(22, ODD)["id"]}
    assert [row.sequence for row in changed] == [before + 1, before + 2, before + 3]


@pytest.mark.usefixtures("usual")
async def test_another_odd_reading_confirms_nothing(intake: Intake, store: Store) -> None:
    odd, other = read(20, ODD), read(21, 68.0)
    await push(intake, odd, by=2)
    [answer] = await push(intake, other, by=3)
    assert answer.status == "held"
    assert (await state(store, odd))[0] == "held"


@pytest.mark.usefixtures("usual")
async def test_a_late_reading_confirms_nothing(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    await push(intake, odd, by=2)
    late = {"sampled_at": "2026-04-01T00:10:00Z", "tested_at": "2026-04-01T00:20:00Z"}
    [answer] = await push(intake, read(21, ODD, **late), by=3)
    assert answer.status == "held"
    within = {"sampled_at": "2026-03-31T23:00:00Z", "tested_at": "2026-03-31T23:10:00Z"}
    [answer] = await push(intake, read(22, ODD, **within), by=3)
    assert answer.status == "stored"


@pytest.mark.usefixtures("usual")
async def test_an_odd_reading_entered_again_is_a_twin_and_never_counts_twice(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    again = {**odd, "id": identifier(77)}
    await push(intake, odd, again, by=2)
    assert await state(store, again) == ("held", ("twin_runs", "out_of_line"))
    await push(intake, read(21, ODD), by=3)
    assert await state(store, odd) == ("counted", ())
    assert await state(store, again) == ("held", ("twin_runs",))


@pytest.mark.usefixtures("usual")
async def test_a_can_is_not_checked_and_confirms_nothing(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    await push(intake, odd, by=2)
    [answer] = await push(intake, read(21, ODD, sampled="can"), by=3)
    assert answer.status == "stored"
    assert (await state(store, odd))[0] == "held"


@pytest.mark.usefixtures("usual")
async def test_a_new_source_is_checked_against_its_region(intake: Intake) -> None:
    answers = await push(intake, source(2), read(20, ODD, at=2), source(3, IN_FR_15), read(21, ODD, at=3), by=2)
    assert [answer.status for answer in answers] == ["stored", "held", "stored", "stored"]


@pytest.mark.usefixtures("usual")
async def test_a_corrected_reading_is_checked_again(intake: Intake, store: Store) -> None:
    odd = read(20, ODD)
    await push(intake, odd, by=2)
    [answer] = await push(intake, {**read(20, USUAL), "revision": 2}, by=2)
    assert answer.status == "replaced"
    assert await state(store, odd) == ("counted", ())
    [answer] = await push(intake, {**odd, "revision": 3}, by=2)
    assert answer.status == "held"


async def test_the_first_readings_of_all_are_not_checked(intake: Intake) -> None:
    answers = await push(intake, source(1), read(1, USUAL), read(2, USUAL), read(3, USUAL), read(4, ODD))
    assert [answer.status for answer in answers] == ["stored"] * 5
