"""Suspicious patterns: backdated bursts, many readings on one day, people who test alone, tubes that disagree."""

from collections import Counter
from datetime import UTC, datetime, timedelta

from helpers.examples import IN_FR_15, Json, identifier, person, reading, source, texts
from splitline.intake.intake import Intake
from splitline.moderation.contributors import withhold
from splitline.moderation.decisions import Moderator
from splitline.moderation.oddities import ALONE, BURST, ONE_DAY, Oddity, oddities
from splitline.moderation.profile import profile
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW)


async def push(intake: Intake, *records: Json, by: int = 1, at: datetime = NOW) -> None:
    answers = await intake.receive(person(by), texts(*records), at)
    assert {answer.status for answer in answers} <= {"stored", "replaced", "held", "known"}


def dated(number: int, at: int, day: datetime, **changes: object) -> Json:
    """A test dated on this day, each at its own hour."""
    moment = f"{day:%Y-%m-%d}T{number % 24:02d}"
    times = {"sampled_at": f"{moment}:00:00Z", "tested_at": f"{moment}:20:00Z"}
    return reading(number, at=at, **times, **changes)


async def odd(store: Store, kind: str) -> list[Oddity]:
    return [one for one in await oddities(store) if one.kind == kind]


async def test_a_backdated_burst_is_listed(intake: Intake, store: Store) -> None:
    days = [NOW - timedelta(days=3 * n) for n in range(1, 13)]
    await push(intake, source(1), *(dated(n, 1, day) for n, day in enumerate(days[:6])))
    later = NOW + timedelta(minutes=40)
    await push(intake, *(dated(6 + n, 1, day) for n, day in enumerate(days[6:])), at=later)
    [burst] = await odd(store, "burst")
    assert (burst.contributor, burst.tests) == (person(1).id, 12)
    assert "12 readings of" in burst.sentence
    assert "within 40 minutes on 2026-04-01 at 12:00 UTC" in burst.sentence
    assert "back-dated over 12 days, 2026-02-24 to 2026-03-29" in burst.sentence
    assert burst.see == f"splitline review contributor {person(1).id}"
    assert (await profile(store, person(1).id)).oddities[0] == burst


async def test_tests_sent_as_they_are_made_are_no_burst(intake: Intake, store: Store) -> None:
    for n in range(2 * BURST):
        day = NOW + timedelta(days=n)
        await push(intake, source(1), dated(n, 1, day), at=day.replace(hour=23))
    few = (dated(100 + n, 1, NOW - timedelta(days=5 + n)) for n in range(BURST - 1))
    await push(intake, *few, by=2)
    assert await odd(store, "burst") == []


async def test_a_gap_of_hours_splits_a_burst(intake: Intake, store: Store) -> None:
    await push(intake, source(1))
    for n in range(BURST):
        await push(intake, dated(n, 1, NOW - timedelta(days=9)), at=NOW + timedelta(minutes=30 * n))
    assert await odd(store, "burst") == []


async def test_many_readings_on_one_day_are_listed(intake: Intake, store: Store) -> None:
    at = NOW.replace(hour=23)
    await push(intake, source(1), source(2, IN_FR_15))
    await push(intake, *(dated(n, 1 + n % 2, NOW) for n in range(ONE_DAY)), by=1, at=at)
    await push(intake, *(dated(40 + n, 1, NOW) for n in range(ONE_DAY - 1)), by=2, at=at)
    [found] = await odd(store, "one_day")
    assert found.sentence == f"{person(1).id} dates {ONE_DAY} readings to one day, 2026-04-01, at 2 sources."


async def test_contributors_who_test_alone_are_listed(intake: Intake, store: Store) -> None:
    await push(intake, source(1), source(2, IN_FR_15), source(3, (45.9, 3.2)))
    await push(intake, *(reading(n, at=1) for n in range(ALONE)), by=1)
    await push(intake, *(reading(20 + n, at=1) for n in range(ALONE)), reading(50, at=2), by=2)
    await push(intake, *(reading(60 + n, at=3) for n in range(ALONE)), reading(90, at=2), by=3)
    await push(intake, *(reading(100 + n, at=2) for n in range(ALONE - 1)), by=4)
    found = await odd(store, "one_source")
    assert [(one.contributor, one.source) for one in found] == [(person(1).id, identifier(1))]
    assert found[0].sentence.endswith("5 readings; others have tested there too.")
    [rests] = await odd(store, "one_contributor")
    assert (rests.contributor, rests.source) == (person(3).id, identifier(3))
    assert "rests on one contributor" in rests.sentence


async def test_a_tube_that_disagrees_with_others_is_listed(intake: Intake, store: Store) -> None:
    """Person 3's tube reads 4 points higher than those of the two others, at four sources."""
    low = {"runs": [{"water": 50.0, "fuel": 50.0, "line": 88.8}]}
    high = {"runs": [{"water": 50.0, "fuel": 50.0, "line": 91.0}], "content": 87.3}
    places = [source(n, (45.7 + 0.03 * n, 3.05)) for n in range(1, 5)]
    await push(intake, *places)
    for who, changes in ((1, low), (2, low), (3, high)):
        tube = {"id": identifier(0x3000000 + who), "scale": "volume", "graduation": 1.0}
        for week in range(4):
            day = NOW - timedelta(days=7 * week + 1)
            tests = [dated(1000 * who + 24 * (4 * week + n) + n, n, day, tube=tube, **changes) for n in range(1, 5)]
            await push(intake, *tests, by=who, at=day + timedelta(hours=30))
    [found] = await odd(store, "disagrees")
    assert found.contributor == person(3).id
    assert " points (95 %) higher than others with tube " in found.sentence
    assert found.sentence.endswith("at the 4 sources they share in FR-63.")


async def test_withheld_contributors_are_not_listed_again(intake: Intake, store: Store) -> None:
    days = [NOW - timedelta(days=3 * n) for n in range(1, 13)]
    await push(intake, source(1), *(dated(n, 1, day) for n, day in enumerate(days)))
    assert Counter(one.kind for one in await oddities(store)) == {"burst": 1, "one_source": 1}
    await withhold(store, person(1).id, BY)
    assert await oddities(store) == []
