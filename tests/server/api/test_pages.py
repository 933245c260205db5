"""Cached pull pages: reused while nothing in them changed, and never longer; on both databases."""

import asyncio
import gzip
from itertools import count
from pathlib import Path

import pytest
import zstandard
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import json

from helpers.examples import IN_FR_15, Json, person, reading, retraction, source
from helpers.examples import texts as said
from server.concurrent_writers import NOW, Plan, Writer, plans
from splitline.api.compression import Encoding
from splitline.api.pages import Pages
from splitline.intake.intake import Intake
from splitline.moderation.decisions import Moderator, merge, unmerge, withhold
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import pull_page
from splitline.store.engine import Store
from splitline.store.pull_page import Asked

BY = Moderator("Ada", NOW, "seen on site")
ALL = Asked(0, (), 500)
fresh = count(100_000, 1000)


async def body(pages: Pages, store: Store, asked: Asked, encoding: Encoding | None = None) -> bytes:
    return (await pages.page(asked, encoding)).body


async def all_changes(pages: Pages, store: Store, asked: Asked) -> list[Json]:
    """Pull from a sequence number to the end; what changes meanwhile comes on a later page."""
    found: list[Json] = []
    while (page := await pages.page(asked, None)).outline.found:
        answer = json.decode(page.body, type=Json)
        found += answer["changes"]
        asked = Asked(int(answer["cursor"].split(".")[1]), asked.regions, asked.limit)
    return found


@pytest.fixture
def pages(store: Store) -> Pages:
    return Pages(store, least=0)


async def test_a_page_is_built_once_and_reused(intake: Intake, store: Store, pages: Pages) -> None:
    await intake.receive(person(1), said(source(1), *(reading(n, at=1) for n in range(9))), NOW)
    first = Asked(0, (), 5)
    made = await body(pages, store, first)
    assert await body(pages, store, first) is made
    await intake.receive(person(1), said(reading(20, at=1), reading(8, at=1, revision=2)), NOW)
    assert await body(pages, store, first) is made, "later changes are on later pages"
    last, local = Asked(5, (), 500), Asked(5, ("FR-63",), 500)
    before = [await body(pages, store, asked) for asked in (last, local)]
    await intake.receive(person(1), said(source(2, IN_FR_15)), NOW)
    after = [await body(pages, store, asked) for asked in (last, local)]
    assert after[0] != before[0]
    assert after[1] is before[1], "changes in other regions do not matter"


@pytest.mark.parametrize("encoding", ["zstd", "gzip"])
async def test_a_compressed_page_is_cached_compressed(
    intake: Intake, store: Store, pages: Pages, encoding: Encoding
) -> None:
    await intake.receive(person(1), said(source(1), *(reading(n, at=1) for n in range(9))), NOW)
    plain, packed = await body(pages, store, ALL), await body(pages, store, ALL, encoding)
    unpack = gzip.decompress if encoding == "gzip" else zstandard.ZstdDecompressor().decompress
    assert unpack(packed) == plain
    assert await body(pages, store, ALL, encoding) is packed


async def test_small_pages_are_neither_compressed_nor_cached(intake: Intake, store: Store) -> None:
    pages = Pages(store)
    await intake.receive(person(1), said(source(1)), NOW)
    first, again = await pages.page(ALL, "zstd"), await pages.page(ALL, "zstd")
    assert first == again
    assert first.encoding is None
    assert first.body is not again.body


async def test_the_cache_is_bounded(intake: Intake, store: Store) -> None:
    """The least recently used page is dropped."""
    await intake.receive(person(1), said(source(1), *(reading(n, at=1) for n in range(9))), NOW)
    size = len(await body(Pages(store), store, Asked(2, (), 3)))
    pages = Pages(store, most=3 * size, least=0)
    wanted = [Asked(after, (), 3) for after in (2, 3, 4)]
    made = [await body(pages, store, asked) for asked in wanted]
    assert await body(pages, store, wanted[0]) is made[0]
    await body(pages, store, Asked(5, (), 3))
    assert await body(pages, store, wanted[0]) is made[0]
    assert await body(pages, store, wanted[1]) is not made[1]


async def test_every_decision_invalidates_cached_pages(
    intake: Intake, store: Store, pages: Pages, database_url: str, tmp_path: Path
) -> None:
    """Another process withholds, merges, unmerges, moves and retracts: each time the page changes."""
    await intake.receive(person(1), said(source(1), source(2), reading(1, at=1), reading(2, at=2)), NOW)
    other = Store(database_url)
    elsewhere = Intake(other, regions(), Photos(str(tmp_path / "photos"), other))
    acts = (
        lambda: withhold(other, reading(1, at=1)["id"], BY),
        lambda: merge(other, source(2)["id"], source(1)["id"], BY),
        lambda: unmerge(other, source(2)["id"], BY),
        lambda: elsewhere.receive(person(1), said(source(2, IN_FR_15, revision=2)), NOW),
        lambda: elsewhere.receive(person(1), said(retraction(reading(2, at=2))), NOW),
    )
    for act in acts:
        for asked in (ALL, Asked(0, ("FR-63",), 500)):
            await body(pages, store, asked)
        await act()
        for asked in (ALL, Asked(0, ("FR-63",), 500)):
            assert await body(pages, store, asked) == await body(Pages(store), store, asked)
    await other.close()


async def follow(pages: Pages, store: Store, asked: Asked, writers: list[Writer], done: asyncio.Event) -> None:
    """Pull everything again and again: each time all earlier commits are there, and nothing outdated."""
    while True:
        finished = done.is_set()
        committed = {record: revision for writer in writers for record, revision in writer.committed.items()}
        found = {change["id"]: change["revision"] for change in await all_changes(pages, store, asked)}
        late = {record: revision for record, revision in committed.items() if found.get(record, 0) < revision}
        assert not late
        if finished:
            return


async def interleaved(url: str, folder: Path, plan: Plan, asked: Asked) -> None:
    """Each writer has its own store; two more serve pages, each with its own cache."""
    stores = [Store(url) for _ in range(len(plan) + 2)]
    readers, writing = stores[:2], stores[2:]
    start = (await pull_page.outline(readers[0], Asked(0, (), 1))).head.value
    asked = Asked(start, asked.regions, asked.limit)
    base = next(fresh)
    intakes = [Intake(store, regions(), Photos(str(folder), store)) for store in writing]
    writers = [Writer(n, base + 10 * n, intake) for n, intake in enumerate(intakes)]
    done = asyncio.Event()
    following = [
        asyncio.create_task(follow(Pages(store, most=20_000, least=0), store, asked, writers, done))
        for store in readers
    ]
    await asyncio.gather(*(writer.run(steps) for writer, steps in zip(writers, plan, strict=True)))
    done.set()
    await asyncio.gather(*following)
    for store in stores:
        await store.close()


@settings(max_examples=10, suppress_health_check=list(HealthCheck))
@given(plan=plans, limit=st.integers(1, 5), wanted=st.sampled_from([(), ("FR-63",), ("FR-15", "FR-63")]))
def test_concurrent_readers_miss_nothing_and_see_nothing_stale(
    database_url: str, tmp_path: Path, plan: Plan, limit: int, wanted: tuple[str, ...]
) -> None:
    """All records start in FR-63, so a reader of that region must see all of them."""
    asyncio.run(interleaved(database_url, tmp_path / "photos", plan, Asked(0, wanted, limit)))
