"""Fills a data folder with the invented country through intake, as phones would."""

import asyncio
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import msgspec

from load import world
from splitline.config import settings
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store
from splitline.store.migrate import migrate

DONE = "filled"


def fill(folder: Path, districts: list[world.District]) -> None:
    """Fill an empty folder; one already filled with as many districts is reused."""
    mark = folder / DONE
    if mark.exists() and mark.read_text() == str(len(districts)):
        return
    folder.mkdir(parents=True, exist_ok=True)
    asyncio.run(_fill(folder, districts))
    mark.write_text(str(len(districts)))


async def _fill(folder: Path, districts: list[world.District]) -> None:
    where = settings({"data": str(folder)}, {})
    store = Store(where.database)
    await migrate(store)
    intake = Intake(store, regions(), Photos(where.photos, store))
    start, count = time.perf_counter(), 0
    for parcel in _parcels(districts):
        answers = await intake.receive(parcel.identity, [msgspec.json.encode(r) for r in parcel.records], world.NOW)
        odd = [answer for answer in answers if answer.status not in ("stored", "held")]
        assert not odd, odd
        count += len(answers)
        if count % 50_000 < len(answers):
            rate = count / (time.perf_counter() - start)
            print(f"  {folder.name}: {count} records taken in, {rate:.0f}/s", file=sys.stderr, flush=True)
    await store.close()


def _parcels(districts: list[world.District]) -> Iterator[world.Parcel]:
    for district in districts:
        yield from world.sources_of(district)
        yield from world.tests_of(district)
