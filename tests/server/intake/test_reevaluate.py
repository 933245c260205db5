"""Stored tests checked again, on both databases: by pictures that look alike."""

from datetime import UTC, datetime
from hashlib import sha256

from helpers.examples import Json, drawing, identifier, person, reading, retraction, source, texts
from helpers.stored_rows import rows
from splitline.figures.schedule import bring_up
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.store import figures, sequence, tests
from splitline.store.engine import Store
from splitline.store.rows import Row

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
FIRST, COPY, OTHER = drawing(1), drawing(1, "PNG", (180, 120)), drawing(2)


def digest_of(body: bytes) -> str:
    return sha256(body).hexdigest()


def showing(number: int, *bodies: bytes, **changed: object) -> Json:
    return reading(number, at=1, photos=[digest_of(body) for body in bodies], **changed)


async def keep(photos: Photos, *bodies: bytes) -> None:
    for body in bodies:
        await photos.keep(digest_of(body), body, person(1), NOW)


async def row_of(store: Store, record: Json) -> Row:
    async with store.read() as connection:
        return (await tests.by_ids(connection, [record["id"]]))[record["id"]]


async def counted(store: Store) -> int:
    await bring_up(store, lambda: NOW)
    async with store.read() as connection:
        known = await figures.of_sources(connection, [identifier(1)])
    return known[identifier(1)].tests if known else 0


async def test_a_copied_picture_holds_its_test_when_it_arrives(intake: Intake, photos: Photos, store: Store) -> None:
    one, two, three = showing(1, FIRST), showing(2, COPY), showing(3, OTHER)
    await intake.receive(person(1), texts(source(1), one), NOW)
    await intake.receive(person(2), texts(two, three), NOW)
    await keep(photos, FIRST, OTHER)
    async with store.read() as connection:
        before = (await sequence.head(connection)).value
    assert await counted(store) == 3
    await keep(photos, COPY)
    held = await row_of(store, two)
    assert (held.state, held.flags) == ("held", ("twin_picture",))
    assert [(row.id, row.sequence) for row in await rows(store, before)] == [(two["id"], before + 1)]
    assert await counted(store) == 2
    [answer] = await intake.receive(person(2), texts(two), NOW)
    assert (answer.status, [problem.code for problem in answer.problems]) == ("held", ["twin_picture"])
    assert await photos.find(digest_of(COPY), None) is not None, "a held test's picture is still served"


async def test_a_test_with_a_known_copied_picture_is_held_at_once(intake: Intake, photos: Photos, store: Store) -> None:
    await keep(photos, FIRST, COPY, OTHER)
    answers = await intake.receive(
        person(1), texts(source(1), showing(1, FIRST), showing(2, OTHER), showing(3, OTHER, COPY)), NOW
    )
    assert [answer.status for answer in answers] == ["stored", "stored", "stored", "held"]
    problems = [(problem.code, problem.field) for problem in answers[3].problems]
    assert problems == [("twin_photo", "photos[0]"), ("twin_picture", "photos[1]")]
    assert await counted(store) == 2


async def test_two_photos_of_one_tube_in_one_test_are_no_duplicates(
    intake: Intake, photos: Photos, store: Store
) -> None:
    await intake.receive(person(1), texts(source(1), showing(1, FIRST, COPY)), NOW)
    await keep(photos, FIRST, COPY)
    assert (await row_of(store, showing(1))).state == "counted"


async def test_after_the_original_is_withdrawn_a_new_revision_counts(
    intake: Intake, photos: Photos, store: Store
) -> None:
    one, two = showing(1, FIRST), showing(2, COPY)
    await intake.receive(person(1), texts(source(1), one, two), NOW)
    await keep(photos, FIRST, COPY)
    again = {**two, "revision": 2}
    [answer] = await intake.receive(person(1), texts(again), NOW)
    assert answer.status == "held", "a new revision is checked again"
    await intake.receive(person(1), texts(retraction(one)), NOW)
    [answer] = await intake.receive(person(1), texts({**two, "revision": 3}), NOW)
    assert answer.status == "replaced"
    assert (await row_of(store, two)).state == "counted"
