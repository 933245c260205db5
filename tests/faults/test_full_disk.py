"""The disk fills up: 507 with a sentence, nothing half-written, reads continue, and it recovers by itself."""

import asyncio
import io
import os
import resource
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import httpx
import pytest
from PIL import Image

from faults.conftest import Place, Tell, execute
from faults.counting import counted, pulled
from faults.phones import Batch, all_send, get, phones, push, records
from helpers.api_client import headers, problem_of
from helpers.examples import reading, source
from helpers.server_process import Served, served
from helpers.system import unprivileged

BALLAST = "ballast"
ONE = 1024 * 1024


@contextmanager
def small_disk(megabytes: int) -> Iterator[Path]:
    """A real file system of a few megabytes, which only root can create."""
    if os.geteuid() != 0:
        pytest.skip("only root can mount a small file system; the test with a size limit runs without")
    folder = Path(tempfile.mkdtemp(prefix="splitline-disk-"))
    mount = ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m,mode=755", "tmpfs", folder]
    mounted = subprocess.run(mount, capture_output=True, text=True, check=False)
    try:
        if mounted.returncode != 0:
            pytest.skip(f"no file system can be mounted here: {mounted.stderr.strip()}")
        yield folder
    finally:
        subprocess.run(["umount", "-l", folder], capture_output=True, check=False)
        shutil.rmtree(folder, ignore_errors=True)


def fill(folder: Path, leave: int) -> None:
    """Fill a disk except for some bytes."""
    room = os.statvfs(folder)
    (folder / BALLAST).write_bytes(b"\1" * (room.f_bavail * room.f_frsize - leave))


async def until_full(url: str, batches: list[Batch]) -> int:
    """Send batches until one is refused for lack of space; return how many were stored."""
    for taken, batch in enumerate(batches):
        answer = await push(url, batch)
        if answer.status_code != 200:
            assert problem_of(answer, 507)["code"] == "storage_full"
            assert int(answer.headers["retry-after"]) > 0
            return taken
    raise AssertionError("the disk never filled up")


async def fills_and_recovers(server: Served, make_room: Callable[[], None], engine: str, how: str, tell: Tell) -> None:
    senders = phones(people=1, batches=60, size=5)
    [phone] = senders
    taken = await until_full(server.url, phone.batches)
    assert taken > 0
    for _ in range(2):
        assert (await push(server.url, phone.batches[taken])).status_code == 507, "it keeps answering 507"
    there = {change["id"] for change in await asyncio.to_thread(pulled, server.url)}
    assert there == {record["id"] for batch in phone.batches[:taken] for record in batch}, "half a batch is there"
    assert (await get(f"{server.url}/healthz")).status_code == 200
    make_room()
    await all_send(senders, lambda: server.url)
    assert phone.failures == 0, "with space again, everything is stored at once"
    tell(how, engine, await asyncio.to_thread(counted, server.url, records(senders)))


async def test_sqlite_recovers_from_a_full_disk(tell: Tell) -> None:
    with small_disk(12) as disk, served(disk / "data") as server:
        fill(disk, leave=ONE // 2)
        await fills_and_recovers(server, (disk / BALLAST).unlink, "sqlite", "disk full", tell)


async def test_sqlite_recovers_from_a_file_size_limit(tmp_path: Path, tell: Tell) -> None:
    """What a quota or `ulimit -f` does; it needs no root."""
    with served(tmp_path) as server:
        set_limit(server, (tmp_path / "splitline.sqlite3").stat().st_size + ONE // 2)
        await fills_and_recovers(
            server, lambda: set_limit(server, resource.RLIM_INFINITY), "sqlite", "file size limited", tell
        )


def set_limit(server: Served, size: int) -> None:
    resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))


async def test_postgresql_recovers_from_a_full_disk(
    postgresql_url: str, new_database: Callable[[str], str], tmp_path: Path, tell: Tell
) -> None:
    """Its tables are in a separate tablespace, as on a separate disk."""
    with small_disk(24) as disk:
        space = disk / "space"
        space.mkdir()
        if user := unprivileged():
            shutil.chown(space, user)
        with tablespace(new_database, postgresql_url, space) as url, served(tmp_path, "--database", url) as server:
            fill(disk, leave=ONE // 2)
            await fills_and_recovers(server, (disk / BALLAST).unlink, "postgresql", "disk full", tell)


@contextmanager
def tablespace(new_database: Callable[[str], str], postgresql_url: str, folder: Path) -> Iterator[str]:
    """A database in this folder, moved away at the end so that the folder can be deleted."""
    execute(postgresql_url, f"CREATE TABLESPACE small LOCATION '{folder}'")
    url = new_database("TABLESPACE small")
    try:
        yield url
    finally:
        execute(postgresql_url, f"DROP DATABASE {url.rsplit('/', 1)[1]} WITH (FORCE)")
        execute(postgresql_url, "DROP TABLESPACE small")


def noise() -> bytes:
    """A picture of about 200 kB, however it is encoded."""
    buffer = io.BytesIO()
    Image.effect_noise((640, 480), 90).convert("RGB").save(buffer, "PNG")
    return buffer.getvalue()


def put(path: str, body: bytes) -> httpx.Response:
    return httpx.put(path, content=body, headers=headers(content="image/png"), timeout=60, verify=False)


async def test_a_photo_gets_507_on_a_full_disk_and_arrives_later(place: Place, tell: Tell) -> None:
    """A picture gets 507 and leaves nothing; readings are still stored; the picture arrives later."""
    body = noise()
    digest = sha256(body).hexdigest()
    batch = [source(1), reading(1, at=1, photos=[digest])]
    with small_disk(4) as disk, served(place.folder, *place.options, "--photos", str(disk / "photos")) as server:
        assert (await push(server.url, batch)).status_code == 200
        path = f"{server.url}/api/v1/photos/{digest}"
        fill(disk, leave=32 * 1024)
        refused = await asyncio.to_thread(put, path, body)
        assert problem_of(refused, 507)["code"] == "storage_full"
        assert [file.name for file in (disk / "photos").rglob("*") if file.is_file()] == []
        assert (await get(path)).status_code == 404
        more = [reading(n, at=1) for n in range(2, 6)]
        assert (await push(server.url, more)).status_code == 200
        (disk / BALLAST).unlink()
        assert (await asyncio.to_thread(put, path, body)).status_code == 201
        assert (await get(path)).status_code == 200
        tell("disk of the photos full", place.engine, await asyncio.to_thread(counted, server.url, [*batch, *more]))
