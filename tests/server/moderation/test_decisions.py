"""A moderator's decisions: what they change, and what survives a new revision; on both databases."""

from datetime import UTC, datetime
from hashlib import sha256

import pytest

from helpers.api_client import Client, fetch
from helpers.examples import Json, drawing, identifier, person, reading, retraction, source, texts
from splitline.answers import Answer
from splitline.app import open_services
from splitline.config import Settings
from splitline.errors import Unusable
from splitline.figures.schedule import bring_up
from splitline.figures.worker import Here
from splitline.intake.intake import Intake
from splitline.moderation.decisions import Moderator, merge, release, unmerge, withhold
from splitline.moderation.queue import waiting
from splitline.photos.store import Photos
from splitline.store import decisions, figures
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW, "seen on site")
TEST, DUPLICATE = reading(1, at=1), reading(1, at=1, id=identifier(77))


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


def told(answer: Answer) -> tuple[str, list[tuple[str, str]]]:
    return answer.status, [(problem.code, problem.value) for problem in answer.problems]


async def counted(store: Store) -> int:
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        known = await figures.of_sources(connection, [identifier(1)])
    return known[identifier(1)].tests if known else 0


async def test_a_released_test_counts_until_it_is_revised(intake: Intake, store: Store) -> None:
    await push(intake, source(1), TEST, DUPLICATE)
    assert await counted(store) == 1
    row = await release(store, DUPLICATE["id"], BY)
    assert (row.state, row.flags, row.sequence) == ("counted", ("released_twin",), 4)
    assert await counted(store) == 2
    [answer] = await push(intake, DUPLICATE)
    assert told(answer) == ("known", [("released_twin", "")])
    [answer] = await push(intake, {**TEST, "revision": 2})
    assert told(answer) == ("replaced", []), "the first test is no duplicate of the released one"
    [answer] = await push(intake, {**DUPLICATE, "revision": 2})
    assert told(answer) == ("held", [("twin_runs", "")]), "a new revision is checked again"
    assert await counted(store) == 1


async def test_a_withheld_record_stays_out_until_released(intake: Intake, store: Store) -> None:
    await push(intake, source(1), TEST)
    await withhold(store, TEST["id"], BY)
    assert await counted(store) == 0
    for revision, status in ((1, "held"), (2, "held")):
        [answer] = await push(intake, {**TEST, "revision": revision})
        assert told(answer) == (status, [("withheld", "seen on site")])
    assert await counted(store) == 0
    [duplicate] = await push(intake, DUPLICATE)
    assert told(duplicate)[1] == [("twin_runs", "")], "it does not come back under another id either"
    row = await release(store, TEST["id"], BY)
    assert (row.state, row.flags, row.revision) == ("counted", (), 2)
    assert await counted(store) == 1


async def test_withholding_a_source_withholds_its_tests(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2), TEST, reading(2, at=2))
    await merge(store, identifier(2), identifier(1), BY)
    assert await counted(store) == 2
    await withhold(store, identifier(1), BY)
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        assert await figures.months_of(connection, "FR-63") == []
        assert await figures.regions(connection) == []
    [answer] = await push(intake, source(1, revision=2))
    assert told(answer)[1][0] == ("withheld", "seen on site")
    await release(store, identifier(1), BY)
    assert await counted(store) == 2


async def test_the_contributor_can_withdraw_a_withheld_record(intake: Intake, store: Store) -> None:
    await push(intake, source(1), TEST)
    await withhold(store, TEST["id"], BY)
    [answer] = await push(intake, retraction(TEST))
    assert told(answer) == ("replaced", [])
    assert (await waiting(store)).tests == ()


async def test_the_picture_of_a_withheld_test_is_not_served(intake: Intake, photos: Photos, store: Store) -> None:
    body = drawing(1)
    digest = sha256(body).hexdigest()
    await push(intake, source(1), {**TEST, "photos": [digest]})
    await photos.keep(digest, body, person(1), NOW)
    assert await photos.find(digest, None)
    await withhold(store, TEST["id"], BY)
    assert await photos.find(digest, None) is None


async def test_every_decision_is_recorded(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2), TEST)
    for decide in (withhold, release):
        await decide(store, TEST["id"], BY)
    await merge(store, identifier(2), identifier(1), BY)
    await unmerge(store, identifier(2), BY)
    async with store.read() as connection:
        kept = await decisions.about(connection, [TEST["id"], identifier(2)])
    assert [(row.sequence, row.action, row.revision) for row in kept] == [
        (4, "withhold", 1),
        (5, "release", 1),
        (6, "merge", 1),
        (7, "unmerge", 1),
    ]
    assert {(row.decided_by, row.decided_at, row.why) for row in kept} == {("Ada", NOW, "seen on site")}


async def test_impossible_decisions_are_refused(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2), TEST, reading(2, at=1), retraction(reading(2, at=1)))
    await merge(store, identifier(2), identifier(1), BY)
    for decide, record, code in (
        (release, TEST["id"], "not_held"),
        (release, identifier(2), "not_held"),
        (withhold, identifier(2), "not_in_use"),
        (withhold, reading(2, at=1)["id"], "record_unknown"),
        (release, "no id at all", "record_unknown"),
    ):
        with pytest.raises(Unusable) as raised:
            await decide(store, record, BY)
        assert [problem.code for problem in raised.value.problems] == [code]


async def test_the_review_queue_gives_reasons(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2, name="Halt am Moor"), source(3, (45.80, 3.10)), TEST, DUPLICATE)
    found = await waiting(store)
    [test] = found.tests
    assert (test.id, test.state, test.source_name) == (DUPLICATE["id"], "held", "Station 1")
    assert [reason.code for reason in test.reasons] == ["twin_runs"]
    assert test.reasons[0].sentence
    [place] = found.sources
    assert (place.id, place.similar_to, place.similar_name) == (identifier(2), identifier(1), "Station 1")
    await merge(store, identifier(2), identifier(1), BY)
    assert (await waiting(store)).sources == ()


async def test_pull_reports_withheld_records(client: Client, chosen: Settings) -> None:
    services = open_services(chosen, lambda: NOW, Here())
    await push(services.intake, source(1), TEST)
    cursor = (await fetch(client, "/api/v1/pull"))["cursor"]
    await withhold(services.store, TEST["id"], BY)
    [change] = (await fetch(client, "/api/v1/pull", cursor=cursor))["changes"]
    assert (change["state"], change["retracted"], change["record"]) == ("withheld", False, None)
    assert change["flags"] == ["withheld"]
    await services.store.close()
