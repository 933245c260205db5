"""Power failure: the write-ahead log ends anywhere, or PostgreSQL itself is killed while phones send."""

import asyncio
import shutil
import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from msgspec import json

from faults.conftest import Tell
from faults.counting import Count, counted
from faults.phones import Batch, all_send, answered, phones, records, until
from helpers.examples import person
from helpers.server_process import served
from helpers.stored_rows import rows
from helpers.system import postgresql_cluster
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store

NAME = "splitline.sqlite3"
LOG = f"{NAME}-wal"
FRAME = 4096 + 24
HEADER = 32
NOW = datetime.now(UTC)


async def test_a_truncated_log_leaves_whole_batches(tmp_path: Path, tell: Tell) -> None:
    """At many lengths: the first batches are there whole and the others not at all. An answered batch is there if the
    log is as long as it was at the answer. Resending everything restores the rest."""
    [phone] = phones(people=1, batches=8, size=3)
    lengths, folder = [0], tmp_path / "data"
    with served(folder) as server:
        for batch in phone.batches:
            await all_send([type(phone)(1, [batch])], lambda: server.url)
            lengths.append((folder / LOG).stat().st_size)
        server.process.kill()
        server.process.wait()
    log = (folder / LOG).read_bytes()
    assert lengths == sorted(lengths), "the log was reset meanwhile, so its lengths mean nothing"
    random = Random(3)
    ends = [*lengths, *(length - 1 for length in lengths[1:]), *(length + 1 for length in lengths[:-1])]
    ends += [HEADER + FRAME * random.randrange(len(log) // FRAME) for _ in range(4)]
    ends += [random.randrange(len(log)) for _ in range(8)]
    sums = Count(0, 0, 0, 0)
    for index, end in enumerate(ends):
        torn = random.randbytes(FRAME) if index % 3 == 0 else b"\0" * FRAME if index % 3 == 1 else b""
        found = await _after(tmp_path / f"cut-{index}", folder / NAME, log[:end] + torn, phone.batches, lengths, end)
        pairs = zip(vars(sums).values(), vars(found).values(), strict=True)
        sums = Count(*(one + other for one, other in pairs))
    tell(f"power lost, log ends at {len(ends)} places", "sqlite", sums)


async def _after(place: Path, data: Path, log: bytes, batches: list[Batch], lengths: list[int], end: int) -> Count:
    """Open what is left, check it, resend everything, and count."""
    _lay(place, data, log)
    store = Store(f"sqlite+aiosqlite:///{place / NAME}")
    there = await _ids(store)
    whole = [{record["id"] for record in batch} <= there for batch in batches]
    assert there == {record["id"] for batch in batches[: sum(whole)] for record in batch}, "half a batch is there"
    assert sum(whole) >= sum(end >= length for length in lengths[1:]), "an answered batch is not there"
    intake = Intake(store, regions(), Photos(str(place / "photos"), store))
    for batch in batches:
        await intake.receive(person(1), [json.encode(record) for record in batch], NOW)
    after = await _ids(store)
    wanted = {record["id"] for batch in batches for record in batch}
    await store.close()
    with sqlite3.connect(place / NAME) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        rows = connection.execute("SELECT id FROM sources UNION ALL SELECT id FROM tests").fetchall()
    return Count(len(wanted), len(wanted & after), len(wanted - after), len(rows) - len(set(rows)))


def _lay(place: Path, data: Path, log: bytes) -> None:
    place.mkdir()
    shutil.copy(data, place / NAME)
    (place / LOG).write_bytes(log)


async def _ids(store: Store) -> set[str]:
    return {row.id for row in await rows(store)}


async def test_nothing_is_lost_when_postgresql_is_killed(tmp_path: Path, tell: Tell) -> None:
    """Phones are asked to retry while the database is away; the server needs no restart."""
    senders = phones(people=3, batches=16, size=4)
    with postgresql_cluster(durable=True) as cluster:
        cluster.start()
        with served(tmp_path, "--database", cluster.url) as server:
            sending = asyncio.create_task(all_send(senders, lambda: server.url))
            for _ in range(2):
                goal = answered(senders) + 5
                await until(lambda goal=goal: answered(senders) >= goal or sending.done())  # type: ignore[misc]
                await asyncio.to_thread(cluster.kill)
                assert not sending.done()
                before = sum(phone.failures for phone in senders)
                await until(lambda before=before: sum(phone.failures for phone in senders) > before)  # type: ignore[misc]
                await asyncio.to_thread(cluster.start)
            await sending
            for phone in senders:
                phone.statuses.clear()
            await all_send(senders, lambda: server.url)
            assert {status for phone in senders for status in phone.statuses} == {"known"}
            found = await asyncio.to_thread(counted, server.url, records(senders))
            tell("database server killed while phones send", "postgresql", found)
