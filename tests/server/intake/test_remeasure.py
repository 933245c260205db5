"""Stored tests recomputed with a new tube model, on both databases."""

from datetime import UTC, datetime

from msgspec import json
from msgspec.structs import replace
from sqlalchemy import update

from helpers.examples import Json, person, reading, source, texts
from helpers.stored_rows import rows
from splitline.chemistry.budget import MODEL
from splitline.feed import Former
from splitline.figures.recompute import recompute_all
from splitline.figures.schedule import bring_up
from splitline.intake.intake import Intake
from splitline.intake.reevaluate import restate
from splitline.intake.remeasure import remeasure
from splitline.store import sequence
from splitline.store.driver import execute
from splitline.store.engine import Store
from splitline.store.rows import Row, only_tests
from splitline.store.schema import sequence as counter

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def now() -> datetime:
    return NOW


async def by_the_first_model(store: Store) -> list[Row]:
    """Make the stored tests look like those of the first model: a point higher and less certain."""
    old: list[Row] = [
        replace(row, content=(row.content or 0.0) + 1.0, expanded_uncertainty=2.5, model=1)
        for row in only_tests(await rows(store))
    ]
    async with store.write() as connection:
        await restate(connection, old, NOW)
        await execute(connection, update(counter).values(model=1))
    await bring_up(store, now)
    return old


async def test_every_result_is_recomputed_and_the_former_one_kept(intake: Intake, store: Store) -> None:
    sent = [reading(number, at=1) for number in (1, 2, 3)]
    answers = await intake.receive(person(1), texts(source(1), *sent), NOW)
    right = {answer.id: answer.content for answer in answers if answer.kind == "test"}
    old = {row.id: row for row in await by_the_first_model(store)}
    async with store.read() as connection:
        before = (await sequence.head(connection)).value
    assert await remeasure(store, now) == 3
    heard = only_tests(await rows(store, before))
    assert {row.id: row.content for row in heard} == right, "phones pull the change"
    for row in heard:
        assert row.model == MODEL
        assert json.decode(row.former, type=Former) == Former(
            model=1, content=old[row.id].content, expanded_uncertainty=2.5
        )
        assert b'"former":{"model":1,' in row.public.encode()
    await bring_up(store, now)
    assert await recompute_all(store, NOW, keep=False) == [], "figures are updated"
    assert await remeasure(store, now) == 0


async def test_tests_the_new_model_cannot_compute_stay_unchanged(intake: Intake, store: Store) -> None:
    taken = reading(1, at=1)
    await intake.receive(person(1), texts(source(1), taken), NOW)
    [row] = await by_the_first_model(store)
    more_fuel: Json = {**taken, "runs": [{**run, "water": 40.0, "fuel": 60.0} for run in taken["runs"]]}
    async with store.write() as connection:
        await restate(connection, [replace(row, record=json.encode(more_fuel).decode())], NOW)
    assert await remeasure(store, now) == 0
    [kept] = only_tests(await rows(store))
    assert (kept.content, kept.model, kept.former) == (row.content, 1, None)
