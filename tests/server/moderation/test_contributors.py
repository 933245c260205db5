"""Withholding and releasing everything of one contributor; on both databases."""

from datetime import UTC, datetime
from hashlib import sha256

import pytest

from helpers.examples import Json, drawing, identifier, person, reading, retraction, source, texts
from helpers.stored_rows import ALL, changes
from splitline.answers import Answer
from splitline.errors import Unusable
from splitline.figures.recompute import recompute_all
from splitline.figures.schedule import bring_up
from splitline.intake.intake import Intake
from splitline.moderation import contributors as everything
from splitline.moderation.decisions import Moderator, release, withhold
from splitline.moderation.profile import profile
from splitline.moderation.queue import waiting
from splitline.photos.store import Photos
from splitline.store import figures
from splitline.store.engine import Store
from splitline.store.pull_page import Asked

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW, "invented readings")
WHO = person(1).id
FAR = (45.80, 3.10)
DUPLICATE = reading(1, at=1, id=identifier(77))


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


def told(answer: Answer) -> tuple[str, list[tuple[str, str]]]:
    return answer.status, [(problem.code, problem.value) for problem in answer.problems]


async def states(store: Store) -> dict[str, tuple[str, tuple[str, ...]]]:
    return {one["id"]: (one["state"], tuple(one["flags"])) for one in await changes(store, Asked(0, (), ALL))}


async def counted(store: Store) -> dict[str, int]:
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        known = await figures.of_sources(connection, [identifier(1), identifier(2)])
    return {source: row.tests for source, row in known.items()}


async def filled(intake: Intake, store: Store) -> None:
    """Source 1, where another person tested, and 2, where nobody did; a held duplicate, a test withheld alone."""
    await push(intake, source(1), source(2, FAR), reading(1, at=1), DUPLICATE, reading(2, at=2), reading(3, at=1))
    await push(intake, reading(4, at=1), by=2)
    await withhold(store, reading(3, at=1)["id"], BY)


async def test_withholding_and_releasing_a_contributor_restores_everything(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    before, figures_before = await states(store), await counted(store)
    assert figures_before == {identifier(1): 2, identifier(2): 1}
    assert await everything.withhold(store, WHO, BY) == 4
    out = await states(store)
    assert {one for one, (state, _) in out.items() if state == "counted"} == {identifier(1), reading(4, at=1)["id"]}
    assert out[DUPLICATE["id"]] == ("withheld", ("all_withheld", "twin_runs"))
    assert out[reading(3, at=1)["id"]] == ("withheld", ("withheld",)), "it was withheld before"
    assert await counted(store) == {identifier(1): 1}
    assert await everything.release(store, WHO, BY) == 4
    assert await states(store) == before
    assert await counted(store) == figures_before
    assert await recompute_all(store, NOW, keep=False) == []


async def test_later_records_of_a_withheld_contributor_are_saved_and_wait(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    await everything.withhold(store, WHO, BY)
    new = await push(intake, source(3, (45.9, 3.2)), reading(5, at=3), reading(6, at=1), {**DUPLICATE, "revision": 2})
    assert [told(answer)[0] for answer in new] == ["held"] * 4
    assert [told(answer)[1][0] for answer in new] == [("all_withheld", "invented readings")] * 4
    [again] = await push(intake, reading(1, at=1))
    assert told(again) == ("held", [("all_withheld", "invented readings")])
    [small] = await push(intake, source(1, revision=2, notes="Open at night."))
    assert told(small) == ("held", [("change_waits", "")]), "a source that others use stays"
    [other] = await push(intake, reading(7, at=1), by=2)
    assert other.status == "stored"
    assert await counted(store) == {identifier(1): 2}
    await everything.release(store, WHO, BY)
    after = await states(store)
    assert after[identifier(3)] == after[reading(5, at=3)["id"]] == ("counted", ())
    assert after[DUPLICATE["id"]] == ("held", ("twin_runs",)), "it was checked on arrival"
    [counts] = await push(intake, reading(8, at=1))
    assert counts.status == "stored"


async def test_single_records_can_be_released_or_stay_withheld(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    await everything.withhold(store, WHO, BY)
    one, other = reading(1, at=1)["id"], reading(2, at=2)["id"]
    assert (await release(store, one, BY)).flags == ()
    assert (await withhold(store, other, BY)).flags == ("withheld", "all_withheld")
    with pytest.raises(Unusable):
        await withhold(store, other, BY)
    await everything.release(store, WHO, BY)
    after = await states(store)
    assert (after[one], after[other]) == (("counted", ()), ("withheld", ("withheld",)))


async def test_work_is_done_in_bounded_steps_and_resumes(
    intake: Intake, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(everything, "PAGE", 2)
    await push(intake, source(1), *(reading(n, at=1) for n in range(6)))
    done: list[tuple[int, int]] = []

    def stop(count: int, total: int) -> None:
        done.append((count, total))
        if len(done) == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        await everything.withhold(store, WHO, BY, stop)
    assert done == [(2, 7), (4, 7)]
    [late] = await push(intake, reading(9, at=1))
    assert late.status == "held", "the decision applies from its first step"
    assert await everything.withhold(store, WHO, BY) == 3
    assert {state for state, _ in (await states(store)).values()} == {"withheld"}
    assert len((await profile(store, WHO)).decisions) == 1, "resuming is not a new decision"
    done.clear()
    with pytest.raises(KeyboardInterrupt):
        await everything.release(store, WHO, BY, stop)
    assert await everything.release(store, WHO, BY) == 4
    assert {state for state, _ in (await states(store)).values()} == {"counted"}


async def test_a_new_reason_applies_from_then_on(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    await everything.withhold(store, WHO, BY)
    assert await everything.withhold(store, WHO, Moderator("Bo", NOW, "write to us")) == 0
    [again] = await push(intake, reading(1, at=1))
    assert told(again)[1] == [("all_withheld", "write to us")]
    [person_out] = (await waiting(store)).contributors
    assert (person_out.contributor, person_out.tests, person_out.why) == (WHO, 3, "write to us")


async def test_a_withheld_contributor_does_not_flood_the_list(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    await everything.withhold(store, WHO, BY)
    found = await waiting(store)
    assert [test.id for test in found.tests] == [reading(3, at=1)["id"]]
    assert found.sources == ()


async def test_their_pictures_are_not_served(intake: Intake, photos: Photos, store: Store) -> None:
    bodies = [drawing(1), drawing(2)]
    digests = [sha256(body).hexdigest() for body in bodies]
    await push(intake, source(1), {**reading(1, at=1), "photos": [digests[0]]})
    await everything.withhold(store, WHO, BY)
    await push(intake, {**reading(2, at=1), "photos": [digests[1]]})
    for digest, body in zip(digests, bodies, strict=True):
        await photos.keep(digest, body, person(1), NOW)
        assert await photos.find(digest, None) is None
    shown = (await profile(store, WHO)).photos
    assert sorted(one.path for one in shown) == sorted(f"/api/v1/photos/{digest}" for digest in digests)
    await everything.release(store, WHO, BY)
    assert await photos.find(digests[1], None)


async def test_they_can_still_withdraw_records(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    await everything.withhold(store, WHO, BY)
    [answer] = await push(intake, retraction(reading(1, at=1)))
    assert answer.status == "replaced"
    await everything.release(store, WHO, BY)
    assert (await states(store))[reading(1, at=1)["id"]][0] == "withheld"
    assert (await profile(store, WHO)).tests.retracted == 1


async def test_impossible_decisions_are_refused(intake: Intake, store: Store) -> None:
    await push(intake, source(1), reading(1, at=1))
    for decide, who, code in (
        (everything.withhold, "0" * 16, "contributor_unknown"),
        (everything.release, WHO, "not_set_aside"),
        (everything.release, "0" * 16, "not_set_aside"),
    ):
        with pytest.raises(Unusable) as raised:
            await decide(store, who, BY)
        assert [problem.code for problem in raised.value.problems] == [code]
    with pytest.raises(Unusable):
        await profile(store, "0" * 16)


async def test_a_concurrent_opposite_decision_wins(
    intake: Intake, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(everything, "PAGE", 1)
    await push(intake, source(1), reading(1, at=1), reading(2, at=1))
    turns: list[int] = []

    def stop(count: int, total: int) -> None:
        turns.append(count)
        if len(turns) == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        await everything.withhold(store, WHO, BY, stop)
    await everything.release(store, WHO, BY)
    with pytest.raises(Unusable) as raised:
        await everything._turn(store, WHO, [identifier(1)], everything.Decision("withhold", is_new=False), BY)
    assert [problem.code for problem in raised.value.problems] == ["decided_otherwise"]


async def test_a_profile_counts_the_contributors_records(intake: Intake, store: Store) -> None:
    await filled(intake, store)
    found = await profile(store, WHO)
    assert (found.first_seen_at, found.days_heard, found.withheld) == (NOW, 1, False)
    assert (found.tests.counted, found.tests.held, found.tests.withheld) == (2, 1, 1)
    assert [(place.id, place.tests, place.entered, place.others_tested) for place in found.sources] == [
        (identifier(1), 3, True, True),
        (identifier(2), 1, True, False),
    ]
