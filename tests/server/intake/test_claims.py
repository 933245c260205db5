"""Ids bound to a secret: the owner gets their records back, whoever sent the ids first."""

from random import Random

import pytest
from msgspec import json

from helpers.examples import (
    IN_FR_15,
    IN_FR_63,
    Json,
    identifier,
    person,
    reading,
    retraction,
    secret,
    source,
    texts,
)
from helpers.stored_rows import rows
from server.concurrent_writers import NOW
from splitline.figures.recompute import recompute_all
from splitline.identity import bound, is_bound
from splitline.intake.intake import Intake
from splitline.store.engine import Store
from splitline.store.rows import Row, SourceRow

OWNERS, THIEVES = (1, 2, 3), (7, 8)


def own(number: int, who: int) -> str:
    """An id made by this person's phone."""
    return bound(f"{0x01990000 + number:08x}-0000-7000-8000-000000000000", person(who).secret_digest)


def belongings(who: int) -> list[Json]:
    """What an owner sent before a restore: a source with tests, one corrected and one withdrawn."""
    place = source(who, IN_FR_63, id=own(who, who))
    tests = [reading(10 * who + n, at=who, id=own(0x1000000 + 10 * who + n, who), source=place["id"]) for n in range(4)]
    tests[1] |= {"revision": 3, "note": "by hand"}
    return [place, tests[0], tests[1], retraction(tests[2]), tests[3]]


def claim(random: Random, of: Json) -> list[Json]:
    """What a thief sends under someone's id: the same, a later revision, another kind, another place, or nothing."""
    revision = random.choice([of["revision"], of["revision"] + 5])
    station = source(99, random.choice([IN_FR_63, IN_FR_15]), id=of["id"], revision=revision)
    at = {"source": station["id"], "id": own(0x3000000 + random.randrange(1000), random.choice(THIEVES))}
    test = reading(90 + random.randrange(9), at=50, id=of["id"], source=identifier(50), revision=revision)
    return random.choice([[station], [station, reading(80 + random.randrange(9), at=1) | at], [test], [retraction(of)]])


async def push(intake: Intake, who: int, *records: Json) -> list[str]:
    return [answer.status for answer in await intake.receive(person(who), texts(*records), NOW)]


def told(row: Row) -> tuple[object, ...]:
    return row.contributor, row.revision, row.retracted, row.state, row.record, json.decode(row.public or "")["record"]


@pytest.mark.parametrize("seed", range(8))
async def test_owners_get_their_claimed_records_back(intake: Intake, store: Store, seed: int) -> None:
    """Owners resend after, before or between the thieves; figures match the records."""
    random = Random(seed)
    theirs = {who: belongings(who) for who in OWNERS}
    await push(intake, THIEVES[0], source(50))
    turns: list[tuple[int, list[Json]]] = []
    for who, records in theirs.items():
        turns += [(who, records), *((random.choice(THIEVES), claim(random, one)) for one in records)]
    random.shuffle(turns)
    for who, batch in turns:
        await push(intake, who, *batch)
    left = await rows(store)
    found = {row.id: told(row) for row in left}
    assert len(found) == len(left), "each id has one record"
    for who, records in theirs.items():
        assert await push(intake, who, *records) == ["known"] * len(records)
        for record in records:
            contributor, revision, retracted, state, text, public = found[record["id"]]
            assert (contributor, revision) == (person(who).id, record["revision"])
            assert (retracted, state) == ((True, "withheld") if "retracted" in record else (False, "counted"))
            assert (text is None) == (public is None) == retracted
    assert await recompute_all(store, NOW, keep=True) == []


async def test_a_false_source_is_removed_with_its_tests(intake: Intake, store: Store) -> None:
    mine = reading(1, at=1, id=own(0x1000001, 1))
    await push(intake, 7, source(5, id=mine["id"]), reading(2, at=5, source=mine["id"]))
    assert await push(intake, 1, source(1), mine) == ["stored", "stored"]
    left = {row.id: row for row in await rows(store)}
    assert not isinstance(left[mine["id"]], SourceRow)
    assert left[reading(2, at=5)["id"]].retracted


async def test_other_peoples_tests_at_a_claimed_source_stay(intake: Intake, store: Store) -> None:
    mine = source(1, id=own(1, 1))
    await push(intake, 7, {**mine, "name": "Elsewhere", "latitude": IN_FR_15[0], "longitude": IN_FR_15[1]})
    await push(intake, 2, reading(1, at=1, source=mine["id"]))
    assert await push(intake, 1, mine) == ["stored"]
    left = {row.id: row for row in await rows(store)}
    test = left[reading(1, at=1)["id"]]
    assert (test.region, test.state, test.contributor) == ("FR-63", "counted", person(2).id)


async def test_an_unbound_id_belongs_to_its_first_sender(intake: Intake) -> None:
    assert await push(intake, 7, source(1)) == ["stored"]
    assert await push(intake, 1, source(1)) == ["refused"]
    mine = source(2, id=own(2, 1))
    assert await push(intake, 1, mine) == ["stored"]
    assert await push(intake, 7, {**mine, "revision": 9}) == ["refused"]


def test_an_id_is_bound_to_one_secret() -> None:
    mine = own(1, 1)
    assert mine.startswith("01990001-0000-7000-8000-0")
    assert is_bound(mine, person(1).secret_digest)
    assert not is_bound(mine, person(2).secret_digest)
    assert not is_bound(identifier(1), person(1).secret_digest)
    assert secret(1) not in mine
