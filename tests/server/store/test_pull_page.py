"""Pull pages assembled by the database: the same changes as the rows, in order; on both databases."""

import asyncio
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import json

from helpers.examples import IN_FR_15, Json, identifier, person, reading, retraction, source
from helpers.examples import texts as said
from helpers.stored_rows import rows
from server import public_view
from server.concurrent_writers import NOW, Writer, batches
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store import pull_page
from splitline.store.engine import Store
from splitline.store.pull_page import Asked
from splitline.store.rows import Row, SourceRow

fresh = count(5000, 1000)
PEOPLE = [person(number) for number in range(10)]
FIGURES = ("content", "expanded_uncertainty", "own_uncertainty", "shared_uncertainty", "coverage_factor", "model")


async def shown(store: Store, asked: Asked) -> list[Json]:
    page, text = await pull_page.page(store, asked)
    assert text is not None
    assert page == await pull_page.outline(store, asked)
    return json.decode(b"[" + text + b"]", type=list[Json])


def as_sent(row: Row) -> Json:
    """A row's public change, as the API describes it."""
    names = ("sequence", "id", "revision", "retracted", "region", "state", "flags")
    alike = {name: getattr(row, name) for name in names} | {"contributor": None, "record": None}
    alike["received_at"] = public_view.noon(row.received_at.isoformat())
    if row.record and row.state == "counted":
        record, [who] = json.decode(row.record), [one for one in PEOPLE if one.id == row.contributor]
        alike["record"] = public_view.record(record, who, row.region)
        alike["contributor"] = public_view.called(who, row.region, public_view.year_of(record))
    if isinstance(row, SourceRow):
        return json.decode(json.encode({**alike, "kind": "source", "into": row.into, "figures": None}), type=Json)
    figures = {**{name: getattr(row, name) for name in FIGURES}, "former": None} if row.state == "counted" else None
    return json.decode(json.encode({**alike, "kind": "test", "figures": figures}), type=Json)


def belongs(change: Json, wanted: tuple[str, ...]) -> bool:
    """Whether a reader of these regions must see this row of `fill`."""
    return not wanted or change["region"] in wanted or (change["id"] == identifier(3) and "FR-63" in wanted)


async def fill(intake: Intake) -> None:
    """Two regions alternate; one source moves, one test is withdrawn, one is a duplicate, one has a note."""
    await intake.receive(person(1), said(source(1), source(2, IN_FR_15), source(3)), NOW)
    await intake.receive(person(1), said(*(reading(n, at=1 + n % 2) for n in range(8))), NOW)
    await intake.receive(person(1), said(source(3, IN_FR_15, revision=2), retraction(reading(3, at=2))), NOW)
    duplicate = {**reading(4, at=1), "id": reading(90, at=1)["id"]}
    await intake.receive(person(1), said(duplicate, reading(91, at=1, note='près du "mur", 3 €, 𝄞')), NOW)


REGIONS = [(), ("FR-63",), ("FR-15",), ("FR-15", "FR-63"), ("DE-BY",), ("DE-BY", "FR-15")]


@pytest.mark.parametrize("wanted", REGIONS)
async def test_a_page_has_the_changes_of_its_rows(intake: Intake, store: Store, wanted: tuple[str, ...]) -> None:
    await fill(intake)
    everything = [as_sent(row) for row in await rows(store)]
    assert len(everything) == 13
    for after in (0, 3, 9, 11, 15):
        expected = [change for change in everything if change["sequence"] > after and belongs(change, wanted)]
        for limit in (1, 2, 5, 500):
            assert await shown(store, Asked(after, wanted, limit)) == expected[:limit], (after, limit)


@pytest.mark.parametrize("wanted", REGIONS)
async def test_pages_together_equal_one_large_page(intake: Intake, store: Store, wanted: tuple[str, ...]) -> None:
    await fill(intake)
    whole = await shown(store, Asked(0, wanted, 500))
    assert [change["sequence"] for change in whole] == sorted(change["sequence"] for change in whole)
    for limit in (1, 3, len(whole) or 1):
        found, after, more = [], 0, True
        while more:
            asked = Asked(after, wanted, limit)
            page = await pull_page.outline(store, asked)
            found += await shown(store, asked)
            after, more = page.upto, page.more
        assert found == whole
        assert after == page.head.value


async def test_the_largest_number_of_regions_works(intake: Intake, store: Store) -> None:
    """700 characters of codes."""
    await fill(intake)
    others = tuple(f"{first}{second}" for first in "ABCDEFGHI" for second in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")[:229]
    wanted = ("FR-63", *others)
    assert len(",".join(wanted)) <= 700
    assert await shown(store, Asked(0, wanted, 500)) == await shown(store, Asked(0, ("FR-63",), 500))


async def test_an_unchanged_page_is_not_read_again(intake: Intake, store: Store) -> None:
    await intake.receive(person(1), said(source(1), *(reading(n, at=1) for n in range(4))), NOW)
    first, text = await pull_page.page(store, Asked(0, (), 3))
    assert text
    assert await pull_page.page(store, first.asked, first.key) == (first, None)
    await intake.receive(person(1), said(reading(9, at=1)), NOW)
    later, text = await pull_page.page(store, first.asked, first.key)
    assert (later.key, text) == (first.key, None), "later changes are not part of it"
    await intake.receive(person(1), said(reading(0, at=1, revision=2)), NOW)
    changed, text = await pull_page.page(store, first.asked, first.key)
    assert changed.key != first.key
    assert text
    assert [change["sequence"] for change in json.decode(b"[" + text + b"]")] == [1, 3, 4]


async def test_an_empty_page_is_recognised_as_unchanged_too(store: Store) -> None:
    first, text = await pull_page.page(store, Asked(0, (), 3))
    assert text == b""
    assert await pull_page.page(store, first.asked, first.key) == (first, None)


async def taken(url: str, folder: Path, plan: list[list[tuple[int, str]]], limit: int) -> None:
    store = Store(url)
    writer = Writer(1, next(fresh), Intake(store, regions(), Photos(str(folder), store)))
    start = (await pull_page.outline(store, Asked(0, (), 1))).head.value
    known: dict[object, bytes | None] = {}
    await writer.begin()
    for batch in plan:
        await writer.act(batch)
        for wanted in REGIONS:
            for after in range(start, start + 4):
                page, text = await pull_page.page(store, Asked(after, wanted, limit))
                assert known.setdefault((page.asked, page.key), text) == text
    await store.close()


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(plan=batches, limit=st.integers(1, 4))
def test_the_same_outline_means_the_same_page(
    database_url: str, tmp_path: Path, plan: list[list[tuple[int, str]]], limit: int
) -> None:
    """The cache depends on this: after any writes, an equal outline means an equal page."""
    asyncio.run(taken(database_url, tmp_path / "photos", plan, limit))
