"""The cost of a batch and a page does not grow with the dataset: counted in SQLite's virtual machine steps.

Two databases differ only in how many others tested in the same region and months: 4 people or 20.
"""

from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

from msgspec.structs import replace

from helpers.examples import IN_FR_15, Json, reading, retraction, source
from load.counted import NOW, Counted
from splitline.figures.schedule import bring_up
from splitline.moderation.queue import waiting
from splitline.position import Position, box_around
from splitline.store import box_join, figures, photos, pull_page
from splitline.store.migrate import migrate
from splitline.store.photos import PhotoRow
from splitline.store.pull_page import Asked

FEW, MANY = 4, 20
ALLOWED = 1.3
EACH = 90
"""Tests per person: with four people there are too many for priors to be relearned with a push."""


def place(who: int, which: int) -> tuple[float, float]:
    """Places in one region, kilometres apart, most of them in one row of the grid."""
    return 45.62 + 0.05 * (who % 5), 2.75 + 0.05 * (who // 5) + 0.02 * which


def readings(who: int, count: int, first: int = 0) -> list[Json]:
    """Tests by one person at two sources in half a year, every tenth with a picture, every thirtieth an outlier."""
    found = []
    for n in range(first, first + count):
        moment = datetime(2026, 3, 1, 6, who, tzinfo=UTC) + timedelta(days=2 * (n % EACH), minutes=n)
        record = reading(
            1000 * who + n, at=2 * who + n % 2, sampled_at=moment.isoformat(), tested_at=moment.isoformat()
        )
        line = 60.0 if n % 30 == 29 else 86.0 + (7 * n % 11) / 4
        record["runs"] = [{"water": 50.0, "fuel": 50.0, "line": line}]
        record["photos"] = [sha256(record["id"].encode()).hexdigest()] if n % 10 == 0 else []
        found.append(record)
    return found


async def new_batch(counted: Counted) -> None:
    await counted.push(1, *readings(1, 50, first=200))


async def changed_batch(counted: Counted) -> None:
    revised = [{**record, "revision": 2} for record in readings(2, 20)]
    taken_back = [retraction(record) for record in readings(2, 20, first=20)]
    await counted.push(2, *revised, *taken_back)


async def new_source(counted: Counted) -> None:
    await counted.push(3, source(2000, (45.9, 2.9)), reading(0x91000, at=2000))


async def moved_source(counted: Counted) -> None:
    await counted.push(3, source(2000, IN_FR_15, revision=2))


async def ranking(counted: Counted) -> None:
    async with counted.store.read() as connection:
        near = box_around(Position(*place(0, 0)), 2.0)
        rows = await box_join.within_any(connection, [near])
        assert len(await figures.of_sources(connection, [row.id for row in rows])) == 2


async def page_of_all(counted: Counted) -> None:
    await _page(counted, (), 10)


async def page_of_a_small_region(counted: Counted) -> None:
    await _page(counted, ("FR-15",), 6)


async def _page(counted: Counted, wanted: tuple[str, ...], expected: int) -> None:
    page, text = await pull_page.page(counted.store, Asked(0, wanted, 10))
    assert page.found >= expected
    assert text


async def fill(counted: Counted) -> None:
    await counted.begin()
    for who in range(counted.people):
        await counted.push(
            who, source(2 * who, place(who, 0)), source(2 * who + 1, place(who, 1)), *readings(who, EACH)
        )
    last = [reading(0x90000 + n, at=1000) for n in range(5)]
    await counted.push(0, source(1000, IN_FR_15), *last)
    await bring_up(counted.store, lambda: NOW)


ACTS = (new_batch, changed_batch, new_source, moved_source, ranking, page_of_all, page_of_a_small_region)


async def test_the_cost_depends_on_the_batch_and_not_on_the_dataset(tmp_path: Path) -> None:
    few, many = Counted(tmp_path, FEW), Counted(tmp_path, MANY)
    await fill(few)
    await fill(many)
    for act in ACTS:
        costs = await few.cost(act), await many.cost(act)
        print(f"{act.__name__}: {costs[0]} steps among few, {costs[1]} among many")
        assert 0 < costs[1] <= ALLOWED * costs[0], (act.__name__, costs)
    assert (await few.cost(_scan)) * 3 < await many.cost(_scan), "a table scan would show"
    assert len((await waiting(many.store)).tests) > 3
    for counted in (few, many):
        await counted.store.close()


async def leaving(counted: Counted) -> None:
    async with counted.store.read() as connection:
        assert len(await photos.leaving(connection)) == 2


async def kept(counted: Counted, count: int) -> None:
    """Picture rows, two of which are to be deleted."""
    async with counted.store.write() as connection:
        for n in range(count):
            digest = sha256(f"picture {n}".encode()).hexdigest()
            row = PhotoRow(digest=digest, contributor="x", media_type="image/png", bytes=1, received_at=NOW)
            await photos.put(connection, replace(row, leaving=n < 2))


async def test_finding_pictures_to_delete_does_not_scan_the_others(tmp_path: Path) -> None:
    few, many = Counted(tmp_path / "few", 1), Counted(tmp_path / "many", 1)
    for counted, count in ((few, 5), (many, 500)):
        await counted.begin()
        await kept(counted, count)
    costs = await few.cost(leaving), await many.cost(leaving)
    assert 0 < costs[1] <= ALLOWED * costs[0], costs
    for counted in (few, many):
        await counted.store.close()


async def test_regions_are_counted_by_index(tmp_path: Path) -> None:
    """No source or test row is read: only index entries and month rows."""
    counted = Counted(tmp_path, 1)
    await migrate(counted.store)
    asked: list[str] = []
    async with counted.store.read() as connection:
        await connection.driver.set_trace_callback(asked.append)
        await figures.regions(connection)
        plan = await connection.rows(f"EXPLAIN QUERY PLAN {asked[-1]}", [])
    read = [str(row[3]) for row in plan if row[3].startswith(("SCAN ", "SEARCH "))]
    tables = [step for step in read if step.split()[1] in ("sources", "tests", "visits")]
    assert len(tables) == 1
    assert all("USING COVERING INDEX" in step for step in tables), read
    await counted.store.close()


async def _scan(counted: Counted) -> None:
    async with counted.store.read() as connection:
        await connection.rows("SELECT count(*) FROM tests WHERE content > 0", [])
