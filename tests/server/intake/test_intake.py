"""Intake: the answer to each record, and that resending changes nothing; on both databases."""

import asyncio
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from helpers import examples
from helpers.examples import IN_FR_15, Json, person, reading, retraction, source, texts
from helpers.stored_rows import rows
from splitline.answers import Answer
from splitline.chemistry.budget import MODEL
from splitline.chemistry.exchange import Exchange
from splitline.identity import Identity, SecretTaken
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import Located, regions
from splitline.store import figures, newest_tests, sequence, sources
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
STATION, TEST = source(1), reading(1, at=1)
# 84.00 % by the line; the exchange is 0.8 points at 80 % and 1.0 at 85 %.
COMPUTED = 80 + (84.00 - 80.8) * 5 / 5.2


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


def statuses(answers: Iterable[Answer]) -> list[str]:
    return [answer.status for answer in answers]


def codes(answer: Answer) -> list[str]:
    return [problem.code for problem in answer.problems]


async def test_a_first_batch_is_stored_with_the_servers_own_figures(intake: Intake, store: Store) -> None:
    answers = await push(intake, STATION, TEST)
    assert statuses(answers) == ["stored", "stored"]
    assert [answer.region for answer in answers] == ["FR-63", "FR-63"]
    assert answers[1].content == pytest.approx(COMPUTED, abs=0.02)
    kept = await rows(store)
    assert [(row.id, row.sequence, row.region) for row in kept] == [
        (STATION["id"], 1, "FR-63"),
        (TEST["id"], 2, "FR-63"),
    ]
    assert kept[0].contributor == person(1).id


async def test_a_resent_record_is_known_and_gets_no_new_number(intake: Intake, store: Store) -> None:
    await push(intake, STATION, TEST)
    answers = await push(intake, STATION, TEST, TEST)
    assert statuses(answers) == ["known"] * 3
    assert answers[1].content == pytest.approx(COMPUTED, abs=0.02)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 2


async def test_a_higher_revision_replaces_and_a_lower_one_is_known(intake: Intake, store: Store) -> None:
    corrected = {**TEST, "revision": 2, "runs": [{"water": 50.0, "fuel": 50.0, "line": 87.8}]}
    await push(intake, STATION, TEST)
    assert statuses(await push(intake, corrected)) == ["replaced"]
    assert statuses(await push(intake, TEST)) == ["known"]
    row = (await rows(store))[-1]
    assert (row.id, row.revision, row.sequence) == (TEST["id"], 2, 3)


async def test_different_content_under_the_same_revision_is_a_conflict(intake: Intake) -> None:
    await push(intake, STATION, TEST)
    [answer] = await push(intake, {**TEST, "note": "another"})
    assert (answer.status, codes(answer)) == ("refused", ["conflict"])


async def test_only_its_author_can_change_a_record(intake: Intake) -> None:
    await push(intake, STATION, TEST)
    answers = await push(intake, {**TEST, "revision": 2, "note": "mine now"}, retraction(TEST), TEST, by=2)
    assert [codes(answer) for answer in answers] == [["not_yours"]] * 3


async def test_an_id_keeps_its_kind(intake: Intake) -> None:
    await push(intake, STATION)
    [answer] = await push(intake, {**TEST, "id": STATION["id"], "revision": 2})
    assert codes(answer) == ["kind_differs"]


async def test_a_bad_record_does_not_affect_its_neighbours(intake: Intake, store: Store) -> None:
    bad = {**reading(2, at=1), "temperature": "warm"}
    answers = await push(intake, STATION, bad, TEST, {"kind": "song"}, reading(3, at=9))
    assert statuses(answers) == ["stored", "refused", "stored", "refused", "refused"]
    assert codes(answers[1]) == ["type"]
    assert answers[1].problems[0].field == "temperature"
    assert codes(answers[4]) == ["source_unknown"]
    assert len(await rows(store)) == 2


async def test_a_retraction_leaves_a_tombstone_and_nothing_else(intake: Intake, store: Store) -> None:
    noted = {**TEST, "note": "by the wall"}
    await push(intake, STATION, noted)
    assert statuses(await push(intake, retraction(TEST))) == ["replaced"]
    row = (await rows(store))[-1]
    left = {name: getattr(row, name) for name in row.__struct_fields__ if getattr(row, name) not in (None, ())}
    assert "by the wall" not in left.pop("public")
    assert left == {
        "id": TEST["id"],
        "region": "FR-63",
        "contributor": person(1).id,
        "revision": 2,
        "sequence": 3,
        "received_at": NOW,
        "retracted": True,
        "state": "withheld",
    }


async def test_after_a_retraction_nothing_comes_back(intake: Intake) -> None:
    await push(intake, STATION, TEST, retraction(TEST))
    answers = await push(intake, TEST, retraction(TEST), retraction(TEST, 9), {**TEST, "revision": 10})
    assert statuses(answers) == ["known", "known", "known", "refused"]
    assert codes(answers[3]) == ["retracted"]


async def test_a_record_withdrawn_before_it_arrived_stays_out(intake: Intake) -> None:
    assert statuses(await push(intake, STATION, retraction(TEST))) == ["stored", "stored"]
    assert statuses(await push(intake, TEST)) == ["known"]


async def test_a_retraction_of_an_older_revision_is_a_conflict(intake: Intake) -> None:
    await push(intake, STATION, {**TEST, "revision": 5})
    [answer] = await push(intake, retraction(TEST, 3))
    assert codes(answer) == ["conflict"]


async def test_a_source_that_others_tested_cannot_be_withdrawn(intake: Intake) -> None:
    await push(intake, STATION)
    await push(intake, TEST, by=2)
    [answer] = await push(intake, retraction(STATION))
    assert codes(answer) == ["source_in_use"]
    await push(intake, retraction(TEST), by=2)
    assert statuses(await push(intake, retraction(STATION))) == ["replaced"]
    [answer] = await push(intake, reading(5, at=1))
    assert codes(answer) == ["source_retracted"]


async def test_a_reading_entered_again_under_another_id_is_held(intake: Intake, store: Store) -> None:
    again = {**TEST, "id": examples.identifier(77), "sampled_at": "2026-03-01T01:10:00Z"}
    first, second = (await push(intake, STATION, TEST, again))[1:]
    assert (first.status, second.status, codes(second)) == ("stored", "held", ["twin_runs"])
    [repeated] = await push(intake, again)
    assert (repeated.status, codes(repeated)) == ("held", ["twin_runs"])
    async with store.read() as connection:
        assert (await figures.of_sources(connection, [STATION["id"]]))[STATION["id"]].tests == 1


async def test_a_withdrawn_and_reentered_reading_is_no_twin_even_in_one_batch(intake: Intake) -> None:
    again = {**TEST, "id": examples.identifier(77)}
    answers = await push(intake, STATION, TEST, retraction(TEST), again)
    assert statuses(answers) == ["stored", "stored", "replaced", "stored"]


@pytest.mark.parametrize(
    "change",
    [
        {"sampled_at": "2026-03-01T01:31:00Z", "tested_at": "2026-03-01T02:00:00Z"},
        {"runs": [{"water": 50.0, "fuel": 50.0, "line": 88.7}]},
        {"source": examples.identifier(2)},
    ],
)
async def test_readings_that_differ_in_time_runs_or_source_are_no_duplicates(intake: Intake, change: Json) -> None:
    other = {**TEST, "id": examples.identifier(77), **change}
    assert statuses(await push(intake, STATION, source(2), TEST, other)) == ["stored"] * 4


async def test_two_people_may_have_the_same_reading(intake: Intake) -> None:
    await push(intake, STATION, TEST)
    assert statuses(await push(intake, {**TEST, "id": examples.identifier(77)}, by=2)) == ["stored"]


async def test_the_same_picture_counts_once(intake: Intake) -> None:
    shown = {"photos": ["ab" * 32]}
    await push(intake, STATION, {**TEST, **shown})
    [answer] = await push(intake, {**reading(2, at=1), **shown}, by=2)
    assert (answer.status, codes(answer)) == ("held", ["twin_photo"])
    await push(intake, retraction(TEST))
    [answer] = await push(intake, {**reading(2, at=1), **shown, "revision": 2}, by=2)
    assert answer.status == "replaced"


async def test_a_differing_content_is_flagged_and_the_servers_value_counts(intake: Intake) -> None:
    answer = (await push(intake, STATION, {**TEST, "content": 77.6, "model": MODEL}))[1]
    assert (answer.status, codes(answer)) == ("stored", ["content_differs"])
    assert answer.content == pytest.approx(COMPUTED, abs=0.02)


async def test_an_operators_own_exchange_table_counts_and_flags_no_device(store: Store, tmp_path: Path) -> None:
    """The line alone means 84.00 %; this table always subtracts two points."""
    axes = {"contents_percent": [0, 100], "fuel_shares": [0.1, 0.5]}
    two_points = Exchange.of({**axes, "bias_points": [[2, 2], [2, 2]], "u_points": [[0.1, 0.1], [0.1, 0.1]]})
    intake = Intake(store, regions(), Photos(str(tmp_path), store), exchange=two_points)
    answer = (await push(intake, STATION, {**TEST, "model": MODEL, "content": COMPUTED}))[1]
    assert (answer.status, codes(answer)) == ("stored", [])
    assert answer.content == pytest.approx(82.00, abs=0.02)


async def test_the_device_clock_is_stored_and_a_wrong_one_flagged(intake: Intake, store: Store) -> None:
    sent = NOW - timedelta(days=730)
    answers = await intake.receive(person(1), texts(STATION, TEST), NOW, sent)
    assert [(answer.status, codes(answer)) for answer in answers] == [("stored", ["clock_off"])] * 2
    await intake.receive(person(1), texts(source(2)), NOW, NOW - timedelta(seconds=2.5))
    await intake.receive(person(1), texts(source(3)), NOW)
    assert [row.clock_skew for row in await rows(store)] == [730 * 86400.0, 730 * 86400.0, 2.5, None]


async def test_an_impossible_line_is_refused(intake: Intake, store: Store) -> None:
    answer = (await push(intake, STATION, {**TEST, "runs": [{"water": 50.0, "fuel": 50.0, "line": 42.0}]}))[1]
    assert (answer.status, codes(answer)) == ("refused", ["line_below_water"])
    assert answer.problems[0].field == "runs[0].line"
    assert len(await rows(store)) == 1


async def test_moving_a_source_moves_its_tests(intake: Intake, store: Store) -> None:
    await push(intake, STATION)
    await push(intake, TEST)
    moved = source(1, IN_FR_15, revision=2)
    unseen = reading(2, at=1)
    answers = await push(intake, unseen, moved, reading(3, at=1))
    assert statuses(answers) == ["stored", "replaced", "stored"]
    kept = await rows(store)
    assert {row.region for row in kept} == {"FR-15"}
    assert sorted(row.sequence for row in kept) == [3, 4, 5, 6]
    async with store.read() as connection:
        assert [row.region for row in await figures.regions(connection)] == ["FR-15"]
        assert await figures.months_of(connection, "FR-63") == []
        [month] = await figures.months_of(connection, "FR-15")
    assert (month.tests, month.contributors) == (3, 1)
    assert {STATION["id"], TEST["id"]} <= {row.id for row in await rows(store, 2, "FR-63")}


async def test_a_position_in_no_region_is_refused(intake: Intake) -> None:
    [answer] = await push(intake, source(1, (0.0, -30.0)))
    assert codes(answer) == ["no_region"]


async def test_an_impossible_subdivision_is_flagged_and_ignored(intake: Intake) -> None:
    [answer] = await push(intake, source(1, subdivision="FR-75"))
    assert (answer.status, answer.region, codes(answer)) == ("stored", "FR-63", ["subdivision_elsewhere"])


async def test_another_secret_with_the_same_id_is_refused(intake: Intake, store: Store) -> None:
    await push(intake, STATION)
    double = Identity(person(1).id, "f" * 64)
    with pytest.raises(SecretTaken):
        await intake.receive(double, texts(TEST), NOW)
    assert len(await rows(store)) == 1


async def test_an_empty_batch_changes_nothing(intake: Intake, store: Store) -> None:
    assert await push(intake) == ()
    assert await rows(store) == []


class BrokenInFr15:
    """Region outlines that raise an error in one region."""

    def at(self, latitude: float, longitude: float) -> Located:
        found = regions().at(latitude, longitude)
        if found.region and found.region.code == "FR-15":
            raise ZeroDivisionError
        return found


async def test_a_batch_that_causes_an_error_fails_alone(store: Store, tmp_path: Path) -> None:
    intake = Intake(store, BrokenInFr15(), Photos(str(tmp_path), store))
    batches = ([STATION], [source(2, IN_FR_15)], [source(3)])
    sent = (push(intake, *records, by=by) for by, records in enumerate(batches, 1))
    async with asyncio.timeout(60):
        first, broken, last = await asyncio.gather(*sent, return_exceptions=True)
    assert isinstance(broken, ZeroDivisionError)
    assert not isinstance(first, BaseException)
    assert not isinstance(last, BaseException)
    assert [statuses(first), statuses(last)] == [["stored"], ["stored"]]
    assert {row.id for row in await rows(store)} == {STATION["id"], source(3)["id"]}


async def test_a_batch_may_have_five_hundred_records(intake: Intake, store: Store) -> None:
    batch: list[Any] = [source(n) for n in range(1, 21)] + [reading(n, at=1 + n % 20) for n in range(480)]
    answers = await push(intake, *batch)
    assert statuses(answers) == ["stored"] * 500
    assert statuses(await push(intake, *batch)) == ["known"] * 500
    async with store.read() as connection:
        assert len(await sources.by_ids(connection, [record["id"] for record in batch])) == 20
        assert len(await newest_tests.at(connection, batch[0]["id"], 1000)) == 24
