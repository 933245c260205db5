"""The size of a test on the wire, in either database and in a backup; and how many write transactions fit in a second.

`python tests/load/size.py`; README.md beside it has the figures.
"""

import asyncio
import gzip
import os
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from itertools import islice
from pathlib import Path

import msgspec

sys.path.insert(0, str(Path(__file__).parents[1]))

from helpers.system import postgresql_cluster
from load import world
from splitline.archive.backup import back_up
from splitline.config import settings
from splitline.identity import Identity
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import pull_page
from splitline.store.engine import Store
from splitline.store.migrate import migrate
from splitline.store.pull_page import Asked

SINGLE = 200
"""Tests pushed one by one at the end."""
BATCHES = (1, 10, 50)


def main() -> None:
    """Fill a district into each database and print a table."""
    with tempfile.TemporaryDirectory() as folder, postgresql_cluster(durable=True) as cluster:
        cluster.start()
        for name, url in (("sqlite", f"sqlite:///{folder}/splitline.sqlite3"), ("postgresql", cluster.url)):
            store = Store(settings({"database": url}, {}).database)
            sized = _sqlite(Path(folder)) if name == "sqlite" else _postgresql(cluster.url)
            asyncio.run(_measure(name, store, Path(folder), sized))


def _sqlite(folder: Path) -> Callable[[], Awaitable[int]]:
    async def size() -> int:
        return os.stat(folder / "splitline.sqlite3").st_size  # noqa: PTH116 - a script with nothing else to do

    return size


def _postgresql(url: str) -> Callable[[], Awaitable[int]]:
    async def size() -> int:
        import asyncpg

        connection = await asyncpg.connect(url)
        found = await connection.fetchval("SELECT pg_database_size('postgres')")
        await connection.close()
        return int(found)

    return size


async def _measure(name: str, store: Store, folder: Path, sized: Callable[[], Awaitable[int]]) -> None:
    await migrate(store)
    intake = Intake(store, regions(), Photos(f"{folder}/photos-{name}", store))
    [district] = world.districts(regions(), 1)
    parcels = list(world.tests_of(district))
    tests = sum(len(parcel.records) for parcel in parcels)
    for parcel in world.sources_of(district):
        await _push(intake, parcel.identity, parcel.records)
    before = await sized()
    for parcel in parcels:
        await _push(intake, parcel.identity, parcel.records)
    wire = sum(len(msgspec.json.encode(record)) for parcel in parcels for record in parcel.records)
    database = await sized() - before
    made = folder / f"{name}.zip"
    await back_up(store, None, made, world.NOW)
    print(f"{name}: a test is {wire / tests:.0f} B of JSON, {database / tests:.0f} B in the database with its indexes")
    print(f"{name}: and {made.stat().st_size / tests:.0f} B in a backup ({tests} tests)")
    _, pulled = await pull_page.page(store, Asked(0, (), 500))
    assert pulled
    packed = len(gzip.compress(pulled, 6))
    print(f"{name}: a change is {len(pulled) / 500:.0f} B in a pull, {packed / 500:.0f} B packed")
    for size in BATCHES:
        start, busy = time.perf_counter(), time.process_time()
        fresh = world.visits(district, f"more {size}", world.person(district, 0), [0, 1, 2, 3], SINGLE // 4)
        records = iter(fresh.records)
        turns = 0
        while batch := list(islice(records, size)):
            await _push(intake, fresh.identity, batch)
            turns += 1
        took, busy = time.perf_counter() - start, time.process_time() - busy
        rate = f"{turns / took:.0f} turns/s, {SINGLE / took:.0f} tests/s on this machine now"
        print(f"{name}: batches of {size}: {rate}; {1000 * busy / turns:.1f} ms of processor a turn")
    await store.close()


async def _push(intake: Intake, who: Identity, records: list[world.Json]) -> None:
    answers = await intake.receive(who, [msgspec.json.encode(record) for record in records], world.NOW)
    assert all(answer.status in ("stored", "held") for answer in answers), answers


if __name__ == "__main__":
    main()
