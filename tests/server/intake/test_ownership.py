"""A source belongs to everyone who tested there: what its contributor can still change alone; on both databases."""

from datetime import UTC, datetime

import pytest

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
from helpers.stored_rows import ALL, changes
from splitline.answers import Answer
from splitline.errors import Unusable
from splitline.intake.intake import Intake
from splitline.moderation.decisions import Moderator, merge, release, withhold
from splitline.moderation.queue import waiting
from splitline.moderation.source_changes import confirm, refuse, waits
from splitline.store import decisions, figures, sources
from splitline.store.engine import Store
from splitline.store.pull_page import Asked

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW, "seen on site")
# Fifty metres of latitude, in degrees.
STEP = 0.00045
LATITUDE, LONGITUDE = IN_FR_63
# Invented, about 500 km north of `IN_FR_63`.
FAR = (50.2, 3.05)


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


def told(answer: Answer) -> tuple[str, list[str]]:
    return answer.status, [problem.code for problem in answer.problems]


async def pulled(store: Store, number: int = 1) -> Json:
    [change] = [one for one in await changes(store, Asked(0, (), ALL)) if one["id"] == identifier(number)]
    return change


async def shared(intake: Intake) -> None:
    """A source of person 1 where two others tested."""
    await push(intake, source(1), reading(1, at=1))
    await push(intake, reading(2, at=1), by=2)
    await push(intake, reading(3, at=1), by=3)


async def test_a_source_nobody_else_tested_can_be_changed_freely(intake: Intake, store: Store) -> None:
    await push(intake, source(1), reading(1, at=1))
    [answer] = await push(intake, source(1, FAR, revision=2, name="Somewhere else"))
    assert told(answer) == ("replaced", [])
    assert (await pulled(store))["record"]["name"] == "Somewhere else"


async def test_a_source_others_tested_cannot_be_moved_away_with_their_tests(intake: Intake, store: Store) -> None:
    """The attack: move it 500 km under another name, with the tests of two others."""
    await shared(intake)
    before = await pulled(store)
    [answer] = await push(intake, source(1, FAR, revision=2, name="Our pump"))
    assert told(answer) == ("held", ["change_waits"])
    assert answer.region == "FR-63"
    after = await pulled(store)
    assert (after["record"], after["region"], after["revision"]) == (before["record"], "FR-63", 1)
    assert after["flags"] == ["change_waits"]
    async with store.read() as connection:
        assert [row.region for row in await figures.regions(connection)] == ["FR-63"]
        row = (await figures.of_sources(connection, [identifier(1)]))[identifier(1)]
    assert (row.region, row.tests) == ("FR-63", 3)


@pytest.mark.parametrize(
    "change",
    [
        {"name": "Station  1"},
        {"name": "station 1"},
        {"pump": "E85 left"},
        {"latitude": LATITUDE + 4 * STEP},
        {"longitude": LONGITUDE - 0.003},
    ],
)
async def test_a_new_name_pump_or_place_waits_for_review(intake: Intake, change: Json) -> None:
    await shared(intake)
    [answer] = await push(intake, source(1, revision=2, **change))
    assert told(answer) == ("held", ["change_waits"])


@pytest.mark.parametrize("change", [{"notes": "Open at night."}, {"latitude": LATITUDE + 2 * STEP}])
async def test_a_small_correction_is_accepted_at_once(intake: Intake, store: Store, change: Json) -> None:
    await shared(intake)
    [answer] = await push(intake, source(1, revision=2, **change))
    assert told(answer) == ("replaced", [])
    assert {**(await pulled(store))["record"], **change} == (await pulled(store))["record"]


async def test_a_move_to_another_region_waits_however_short(intake: Intake) -> None:
    """A place 15 m from a border: its contributor chooses the side, but cannot change it alone later."""
    await push(intake, source(1, (45.3735, 2.9), subdivision="FR-63"))
    await push(intake, reading(1, at=1), by=2)
    [answer] = await push(intake, source(1, (45.3735, 2.9), revision=2, subdivision="FR-15"))
    assert told(answer)[0] == "held"
    assert answer.region == "FR-63"


async def test_many_small_moves_do_not_add_up(intake: Intake, store: Store) -> None:
    await push(intake, source(1))
    # Before others tested, it may move anywhere; later moves are measured from there.
    await push(intake, source(1, (LATITUDE + 100 * STEP, LONGITUDE), revision=2))
    await push(intake, reading(1, at=1), by=2)
    found = []
    for number in range(1, 6):
        place = (LATITUDE + (100 + number) * STEP, LONGITUDE)
        [answer] = await push(intake, source(1, place, revision=2 + number))
        found.append(answer.status)
    assert found == ["replaced", "replaced", "held", "held", "held"], "50, 100, 150.1, 200 and 250 m away"
    [back] = await push(intake, source(1, (LATITUDE + 99 * STEP, LONGITUDE), revision=8))
    assert told(back) == ("replaced", []), "nothing is left waiting"
    assert not await waits(store, identifier(1))


async def test_resending_a_held_change_changes_nothing(intake: Intake, store: Store) -> None:
    await shared(intake)
    moved = source(1, FAR, revision=3)
    await push(intake, moved)
    before = await changes(store, Asked(0, (), ALL))
    [again] = await push(intake, moved)
    assert told(again) == ("held", ["change_waits"])
    [older] = await push(intake, source(1))
    assert older.status == "known"
    [other] = await push(intake, source(1, IN_FR_15, revision=3))
    assert told(other) == ("refused", ["conflict"])
    assert other.problems[0].limit == ">= 4"
    assert await changes(store, Asked(0, (), ALL)) == before
    [newer] = await push(intake, source(1, IN_FR_15, revision=4))
    assert newer.status == "held"
    assert [(one.revision, one.then.region) for one in (await waiting(store)).changes] == [(4, "FR-15")]


async def test_nobody_else_can_change_the_source(intake: Intake) -> None:
    await shared(intake)
    [answer] = await push(intake, source(1, FAR, revision=2), by=2)
    assert told(answer) == ("refused", ["not_yours"])
    [gone] = await push(intake, retraction(source(1), 3))
    assert told(gone) == ("refused", ["source_in_use"])


async def test_a_confirmed_change_applies_to_everyones_tests(intake: Intake, store: Store) -> None:
    await shared(intake)
    await push(intake, source(1, IN_FR_15, revision=2, name="Halt am Moor"))
    row = await confirm(store, identifier(1), BY)
    assert (row.state, row.revision, row.region, row.flags) == ("counted", 2, "FR-15", ())
    found = await changes(store, Asked(0, (), ALL))
    assert {one["region"] for one in found} == {"FR-15"}
    assert (await pulled(store))["record"]["name"] == "Halt am Moor"
    assert {one["id"] for one in await changes(store, Asked(0, ("FR-63",), ALL))} == {one["id"] for one in found}
    [again] = await push(intake, source(1, IN_FR_15, revision=2, name="Halt am Moor"))
    assert told(again) == ("known", [])
    async with store.read() as connection:
        [made] = await decisions.about(connection, [identifier(1)])
        assert [one.region for one in await figures.regions(connection)] == ["FR-15"]
    assert (made.action, made.revision, made.why, made.sequence) == ("confirm", 2, "seen on site", row.sequence)
    [near] = await push(intake, source(1, (IN_FR_15[0] + STEP, IN_FR_15[1]), revision=3, name="Halt am Moor"))
    assert near.status == "replaced", "small moves are measured from the confirmed place"


async def test_a_refused_change_stays_refused_until_a_new_one_arrives(intake: Intake, store: Store) -> None:
    await shared(intake)
    moved = source(1, FAR, revision=2)
    await push(intake, moved)
    await refuse(store, identifier(1), BY)
    assert ((await pulled(store))["revision"], (await pulled(store))["flags"]) == (1, ["change_refused"])
    [again] = await push(intake, moved)
    assert told(again) == ("held", ["change_refused"])
    assert again.problems[0].value == "seen on site"
    assert (await waiting(store)).changes == ()
    for decide in (confirm, refuse):
        with pytest.raises(Unusable):
            await decide(store, identifier(1), BY)
    [other] = await push(intake, source(1, IN_FR_15, revision=3))
    assert told(other) == ("held", ["change_waits"])
    await confirm(store, identifier(1), BY)
    assert (await pulled(store))["region"] == "FR-15"


async def test_a_source_with_merged_sources_waits_too(intake: Intake, store: Store) -> None:
    await push(intake, source(1), reading(1, at=1))
    await push(intake, source(2), reading(2, at=2), by=2)
    await merge(store, identifier(2), identifier(1), BY)
    [answer] = await push(intake, source(1, FAR, revision=2))
    assert answer.status == "held"
    [mine] = await push(intake, source(2, FAR, revision=2), by=2)
    assert mine.status == "replaced", "only its contributor tested at the merged source"
    assert (await pulled(store, 2))["state"] == "merged"


async def test_a_withheld_source_stays_withheld_when_its_change_is_confirmed(intake: Intake, store: Store) -> None:
    await shared(intake)
    await withhold(store, identifier(1), BY)
    [answer] = await push(intake, source(1, FAR, revision=2, name="Halt"))
    assert told(answer) == ("held", ["change_waits"])
    row = await confirm(store, identifier(1), BY)
    assert (row.state, row.flags) == ("withheld", ("withheld",))
    assert (await release(store, identifier(1), BY)).state == "counted"
    assert (await pulled(store))["record"]["name"] == "Halt"


async def test_tests_in_the_same_batch_use_the_unchanged_source(intake: Intake, store: Store) -> None:
    await push(intake, source(1))
    await push(intake, reading(2, at=1), by=2)
    first, second = await push(intake, source(1, FAR, revision=2), reading(1, at=1))
    assert (first.status, second.status, second.region) == ("held", "stored", "FR-63")
    async with store.read() as connection:
        row = (await sources.by_ids(connection, [identifier(1)]))[identifier(1)]
    assert (row.latitude, row.longitude) == IN_FR_63
