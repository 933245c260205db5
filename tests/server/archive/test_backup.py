"""Backup and restore: between both databases, all or nothing, and readable by later versions."""

import asyncio
import shutil
from collections.abc import AsyncIterator
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from random import Random
from zipfile import ZipFile

import pytest

from helpers.command import splitline
from helpers.examples import drawing, person, picture, reading, retraction, source, texts
from helpers.later_version import COLUMN, LATER, later_server
from helpers.stored_rows import rows
from server.archive.damaged import manifest, members, rewritten
from server.conftest import with_driver
from splitline.archive.backup import MANIFEST, Manifest, back_up
from splitline.archive.restore import restore
from splitline.errors import Unusable
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import sequence, snapshot
from splitline.store.engine import Store
from splitline.store.migrate import SchemaTooOld, migrate
from splitline.store.schema import HEAD

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def digest_of(body: bytes) -> str:
    return sha256(body).hexdigest()


PICTURES = [picture("PNG"), drawing(1)]


@pytest.fixture
async def filled(intake: Intake, photos: Photos, store: Store) -> Store:
    """A database with records, pictures, a duplicate and a tombstone."""
    await fill(intake, photos)
    return store


@pytest.fixture(scope="module")
def kept(migrated_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backup of the same, made once, for tests that damage it; a test below shows that PostgreSQL's is no other."""
    folder = tmp_path_factory.mktemp("kept")
    shutil.copy(migrated_file, folder)

    async def make() -> None:
        store = Store(with_driver(f"sqlite:///{folder / migrated_file.name}"))
        photos = Photos(str(folder / "photos"), store)
        await fill(Intake(store, regions(), photos), photos)
        await back_up(store, photos, folder / "kept.zip", NOW)
        await store.close()

    asyncio.run(make())
    return folder / "kept.zip"


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The environment of a later version."""
    return later_server(tmp_path_factory.mktemp("later"))


async def fill(intake: Intake, photos: Photos) -> None:
    shown = [digest_of(body) for body in PICTURES]
    tests = [reading(1, at=1, photos=shown[:1]), reading(2, at=1, photos=shown[:1]), reading(3, at=1, photos=shown[1:])]
    await intake.receive(person(1), texts(source(1), source(2, name="Añil «é» 油"), *tests, reading(4, at=2)), NOW)
    await intake.receive(person(1), texts(retraction(reading(4, at=2))), NOW)
    for body in PICTURES:
        await photos.keep(digest_of(body), body, person(1), NOW)


@pytest.fixture
async def empty(empty_url: str) -> AsyncIterator[Store]:
    store = Store(empty_url)
    yield store
    await store.close()


async def everything(store: Store) -> dict[str, list[str]]:
    """All rows of all tables as sorted text, without the epoch and what a later version adds."""
    async with store.read() as connection:
        tables = {}
        for form in await snapshot.forms(connection):
            rows = [row async for page in snapshot.pages(connection, form) for row in page]
            places = [place for place, name in enumerate(form.columns) if name not in ("epoch", COLUMN)]
            tables[form.name] = sorted(repr([row[place] for place in places]) for row in rows)
        return tables


async def refused(file: Path, store: Store, pictures: Photos) -> tuple[str, str]:
    """Check that a restore is refused and leaves nothing; return code and value of the one problem."""
    with pytest.raises(Unusable) as raised:
        await restore(store, pictures, file)
    async with store.read() as connection:
        assert await snapshot.is_empty(connection)
    assert await pictures.is_empty()
    (problem,) = raised.value.problems
    assert problem.field == str(file)
    return problem.code, problem.value


async def test_a_backup_restores_into_either_database(
    filled: Store, empty: Store, photos: Photos, tmp_path: Path
) -> None:
    file = tmp_path / "kept.zip"
    made = await back_up(filled, photos, file, NOW)
    assert (made.pictures, made.gone) == (2, ())
    assert file.stat().st_mode & 0o777 == 0o600
    other = Photos(str(tmp_path / "other"), empty)
    assert (await restore(empty, other, file)) == made
    before = await everything(filled)
    assert await everything(empty) == before
    assert sum(map(len, before.values())) == made.rows
    assert len(before["tests"]) == 4
    for body in PICTURES:
        assert await other.find(digest_of(body), None) == await photos.find(digest_of(body), None)
    async with filled.read() as one, empty.read() as two:
        old, new = await sequence.head(one), await sequence.head(two)
    assert await rows(filled) == await rows(empty)
    assert (old.value == new.value, old.epoch == new.epoch) == (True, False)


async def test_both_databases_give_the_same_backup(kept: Path, photos: Photos, store: Store, tmp_path: Path) -> None:
    await fill(Intake(store, regions(), photos), photos)
    await back_up(store, photos, tmp_path / "kept.zip", NOW)
    assert members(tmp_path / "kept.zip") == members(kept)


async def test_a_restored_database_carries_on(filled: Store, empty: Store, photos: Photos, tmp_path: Path) -> None:
    """The owner can revise, resent records are known, and a new record gets the next number."""
    await back_up(filled, photos, tmp_path / "kept.zip", NOW)
    other = Photos(str(tmp_path / "other"), empty)
    await restore(empty, other, tmp_path / "kept.zip")
    again = Intake(empty, regions(), other)
    sent = texts(source(1), source(2, revision=2), reading(5, at=1))
    assert [one.status for one in await again.receive(person(1), sent, NOW)] == ["known", "replaced", "stored"]
    assert [one.status for one in await again.receive(person(2), texts(source(1, revision=2)), NOW)] == ["refused"]


async def test_a_later_version_restores_and_migrates_the_backup(
    filled: Store, empty: Store, photos: Photos, later: dict[str, str], tmp_path: Path
) -> None:
    made = await back_up(filled, photos, tmp_path / "kept.zip", NOW)
    assert made.schema == HEAD
    place = ("--data", str(tmp_path / "other"), "--database", empty.url.render_as_string(hide_password=False))
    back = await asyncio.to_thread(splitline, "restore", str(tmp_path / "kept.zip"), *place, environment=later)
    assert (back.returncode, back.stderr) == (0, "")
    async with empty.read() as connection:
        assert await snapshot.version(connection) == LATER
        assert [tuple(row) for row in await connection.rows(f"SELECT DISTINCT {COLUMN} FROM sources", [])] == [(7,)]
    assert await everything(empty) == await everything(filled)


async def test_a_backup_from_before_the_first_release_is_refused_in_one_sentence(
    kept: Path, empty: Store, tmp_path: Path
) -> None:
    old = rewritten(kept, {MANIFEST: manifest(kept, schema="0005")}, tmp_path)
    with pytest.raises(SchemaTooOld, match="tables of version 0005 are from before the first release"):
        await restore(empty, Photos(str(tmp_path / "other"), empty), old)
    async with empty.read() as connection:
        assert await snapshot.is_empty(connection)


async def test_a_target_that_is_not_empty_is_left_alone(
    filled: Store, empty: Store, photos: Photos, tmp_path: Path
) -> None:
    file = tmp_path / "kept.zip"
    await back_up(filled, photos, file, NOW)
    before = await everything(filled)
    for store, pictures, code in (
        (filled, Photos(str(tmp_path / "other"), filled), "database_not_empty"),
        (empty, photos, "photos_not_empty"),
    ):
        with pytest.raises(Unusable) as raised:
            await restore(store, pictures, file)
        assert [problem.code for problem in raised.value.problems] == [code]
    assert await everything(filled) == before
    async with empty.read() as connection:
        assert await snapshot.is_empty(connection)


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        (lambda file: {MANIFEST: b""}, "backup_foreign"),
        (lambda file: {MANIFEST: b"{}"}, "backup_damaged"),
        (lambda file: {MANIFEST: manifest(file, form=2)}, "backup_newer"),
        (lambda file: {MANIFEST: manifest(file, schema="9999")}, "backup_newer"),
        (lambda file: {MANIFEST: manifest(file, tables=[])}, "backup_damaged"),
        (lambda file: {"tables/tests.jsonl": b""}, "backup_damaged"),
        (lambda file: {"tables/sources.jsonl": b"[1]\n"}, "backup_damaged"),
        (lambda file: {"tables/photos.jsonl": b"\n"}, "backup_damaged"),
        (lambda file: {"photos/../../x": b"outside"}, "backup_damaged"),
    ],
)
async def test_an_inconsistent_backup_restores_nothing(
    kept: Path, empty: Store, tmp_path: Path, changed: object, code: str
) -> None:
    other = Photos(str(tmp_path / "other"), empty)
    assert (await refused(rewritten(kept, changed(kept), tmp_path), empty, other))[0] == code  # type: ignore[operator]


async def test_a_missing_or_duplicate_row_is_noticed(kept: Path, empty: Store, tmp_path: Path) -> None:
    with ZipFile(kept) as archive:
        rows = archive.read("tables/tests.jsonl").splitlines(keepends=True)
    other = Photos(str(tmp_path / "other"), empty)
    for wrong in (rows[1:], [rows[0], *rows[:-1]]):
        code, _ = await refused(rewritten(kept, {"tables/tests.jsonl": b"".join(wrong)}, tmp_path), empty, other)
        assert code == "backup_damaged"


async def test_a_flipped_or_missing_byte_is_noticed_or_harmless(tmp_path: Path) -> None:
    """Fifty bytes across the file and ten lengths; on one database, since the file is checked first."""
    store = Store(f"sqlite+aiosqlite:///{tmp_path / 'one.sqlite3'}")
    await migrate(store)
    photos = Photos(str(tmp_path / "photos"), store)
    shown = [digest_of(body) for body in PICTURES]
    await Intake(store, regions(), photos).receive(person(1), texts(source(1), reading(1, at=1, photos=shown)), NOW)
    for body in PICTURES:
        await photos.keep(digest_of(body), body, person(1), NOW)
    file, damaged = tmp_path / "kept.zip", tmp_path / "damaged.zip"
    await back_up(store, photos, file, NOW)
    whole = file.read_bytes()
    random = Random(5)
    codes: list[str] = []
    for index in range(60):
        at = random.randrange(len(whole))
        flipped = whole[:at] + bytes([whole[at] ^ 1 << random.randrange(8)]) + whole[at + 1 :]
        damaged.write_bytes(flipped if index < 50 else whole[:at])
        into = Store(f"sqlite+aiosqlite:///{tmp_path / f'into-{index}.sqlite3'}")
        try:
            await restore(into, Photos(str(tmp_path / f"into-{index}"), into), damaged)
        except Unusable as fault:
            codes += [problem.code for problem in fault.problems]
        else:
            assert await everything(into) == await everything(store), f"byte {at} changed something unnoticed"
        await into.close()
    await store.close()
    assert len(codes) > 50
    assert set(codes) <= {"backup_foreign", "backup_damaged"}


async def test_pictures_can_be_left_out_of_the_backup(
    filled: Store, empty: Store, photos: Photos, tmp_path: Path
) -> None:
    made = await back_up(filled, None, tmp_path / "kept.zip", NOW)
    assert made.pictures is None
    await restore(empty, Photos(str(tmp_path / "other"), empty), tmp_path / "kept.zip")
    shutil.copytree(tmp_path / "photos", tmp_path / "other", dirs_exist_ok=True)
    found = await Photos(str(tmp_path / "other"), empty).find(digest_of(PICTURES[0]), None)
    assert found is not None


async def test_a_picture_withdrawn_during_the_backup_is_named(filled: Store, photos: Photos, tmp_path: Path) -> None:
    await photos.take_away(digest_of(PICTURES[0]))
    made = await back_up(filled, photos, tmp_path / "kept.zip", NOW)
    assert (made.pictures, made.gone) == (1, (digest_of(PICTURES[0]),))


async def test_a_failed_write_leaves_no_file(filled: Store, photos: Photos, tmp_path: Path) -> None:
    there = tmp_path / "there.zip"
    there.write_text("mine")
    for file, code in ((there, "backup_exists"), (tmp_path / "no" / "x.zip", "backup_unwritable")):
        with pytest.raises(Unusable) as raised:
            await back_up(filled, photos, file, NOW)
        assert [problem.code for problem in raised.value.problems] == [code]
    assert there.read_text() == "mine"
    assert not there.with_name("there.zip.part").exists()


async def test_a_backup_blocks_no_writer_and_ignores_later_writes(
    filled: Store, intake: Intake, photos: Photos, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The worst moment: the first table is already in the backup when somebody commits."""
    reading_pages, late = snapshot.pages, asyncio.Event()

    async def after_a_commit(*arguments: object) -> AsyncIterator[object]:
        if not late.is_set():
            late.set()
            await intake.receive(person(2), texts(source(9), reading(9, at=9)), NOW)
        async for page in reading_pages(*arguments):  # type: ignore[arg-type]
            yield page

    monkeypatch.setattr(snapshot, "pages", after_a_commit)
    made: Manifest = await back_up(filled, photos, tmp_path / "kept.zip", NOW)
    assert late.is_set()
    with ZipFile(tmp_path / "kept.zip") as archive:
        assert source(9)["id"].encode() not in archive.read("tables/sources.jsonl")
    assert {table.name: table.rows for table in made.tables}["sources"] == 2
