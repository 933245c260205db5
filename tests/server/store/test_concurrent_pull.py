"""Pull while others write: a reader misses no change, in whatever order writers commit; on both databases."""

import asyncio
from itertools import count
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import json

from helpers.examples import IN_FR_15, Json, identifier, person, reading, source
from helpers.examples import texts as said
from helpers.stored_rows import ALL, changes
from server.concurrent_writers import NOW, Plan, Writer, plans
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import pull_page
from splitline.store.engine import Store
from splitline.store.pull_page import Asked

fresh = count(1, 1000)


async def read_along(store: Store, after: int, limit: int, done: asyncio.Event) -> list[Json]:
    """Pull page by page while others write, until nothing is left."""
    seen: list[Json] = []
    while True:
        finished = done.is_set()
        page, text = await pull_page.page(store, Asked(after, (), limit))
        assert text is not None
        found = json.decode(b"[" + text + b"]", type=list[Json])
        numbers = [change["sequence"] for change in found]
        assert numbers == sorted({number for number in numbers if after < number <= page.upto})
        seen += found
        after = page.upto
        if finished and not page.more:
            return seen
        await asyncio.sleep(0)


async def interleaved(url: str, folder: Path, plan: Plan, limit: int) -> None:
    stores = [Store(url) for _ in range(len(plan) + 1)]
    reader, *writing = stores
    start = (await pull_page.outline(reader, Asked(0, (), 1))).head.value
    base = next(fresh)
    intakes = [Intake(store, regions(), Photos(str(folder), store)) for store in writing]
    writers = [Writer(n, base + 10 * n, intake) for n, intake in enumerate(intakes)]
    done = asyncio.Event()
    following = asyncio.create_task(read_along(reader, start, limit, done))
    await asyncio.gather(*(writer.run(steps) for writer, steps in zip(writers, plan, strict=True)))
    done.set()
    seen = {change["id"]: change for change in await following}
    assert seen == {change["id"]: change for change in await changes(reader, Asked(start, (), ALL))}
    for store in stores:
        await store.close()


@settings(max_examples=12, suppress_health_check=list(HealthCheck))
@given(plan=plans, limit=st.integers(1, 4))
def test_no_change_is_skipped_while_others_write(database_url: str, tmp_path: Path, plan: Plan, limit: int) -> None:
    asyncio.run(interleaved(database_url, tmp_path / "photos", plan, limit))


async def test_a_region_gets_its_own_changes_and_departures(intake: Intake, store: Store) -> None:
    stay, leave = source(1), source(2)
    await intake.receive(person(1), said(stay, leave, reading(1, at=2)), NOW)
    await intake.receive(person(1), said(source(2, IN_FR_15, revision=2), source(3, IN_FR_15)), NOW)
    old = await changes(store, Asked(3, ("FR-63",), 100))
    assert {change["id"] for change in old} == {identifier(2), reading(1, at=2)["id"]}
    assert {change["region"] for change in old} == {"FR-15"}
    assert len(await changes(store, Asked(3, ("FR-15",), 100))) == 3


async def test_the_cursor_moves_even_without_changes_in_the_region(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), said(source(1)), NOW)
    page, text = await pull_page.page(store, Asked(0, ("DE-BY",), 100))
    assert (text, page.upto, page.more) == (b"", 1, False)
