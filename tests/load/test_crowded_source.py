"""What one source costs does not grow with the tests there: counted in SQLite's virtual machine steps.

All tests there are by one person, over two years; some of them are outliers or repeat an earlier test.
"""

from datetime import timedelta
from pathlib import Path

from helpers.examples import Json, reading, source
from load.counted import NOW, Counted
from splitline.figures.schedule import bring_up
from splitline.store import newest_tests

FEW, MANY, EACH_BATCH = 500, 5000, 500
ALLOWED = 2.0
DAYS = 700
SHOWN = 100
USUAL, ODD = 86.0, 60.0


def made(number: int, minute: int, line: float) -> Json:
    moment = (NOW - timedelta(days=1 + minute % DAYS, minutes=31 * (minute // DAYS))).isoformat()
    runs = [{"water": 50.0, "fuel": 50.0, "line": line}]
    return reading(number, at=1, sampled_at=moment, tested_at=moment, runs=runs)


def crowd(first: int, count: int) -> list[Json]:
    """Tests: every tenth an outlier of the last weeks, every tenth a repetition."""
    return [one(n) for n in range(first, first + count)]


def one(number: int) -> Json:
    if number % 10 == 5:
        return made(number, DAYS * (number // 10) + number % 30, ODD)
    repeated = number % 10 == 1
    return made(number, number - repeated, USUAL + (7 * (number // 2) % 11) / 4)


async def fill(counted: Counted, tests: int) -> None:
    await counted.begin()
    await counted.push(1, source(1))
    for first in range(0, tests, EACH_BATCH):
        await counted.push(1, *crowd(first, EACH_BATCH))
    await bring_up(counted.store, lambda: NOW)


async def usual(counted: Counted) -> None:
    await counted.push(3, made(0x90000, 3, USUAL))


async def odd(counted: Counted) -> None:
    await counted.push(4, made(0x90001, 5, ODD))


async def repeated(counted: Counted) -> None:
    await counted.push(1, made(0x90002, 12, USUAL))


async def refresh(counted: Counted) -> None:
    await bring_up(counted.store, lambda: NOW)


async def page(counted: Counted) -> None:
    async with counted.store.read() as connection:
        assert len(await newest_tests.at(connection, source(1)["id"], SHOWN)) == SHOWN


async def test_a_crowded_source_costs_a_push_a_refresh_and_its_page_no_more(tmp_path: Path) -> None:
    few, many = Counted(tmp_path / "few", 3), Counted(tmp_path / "many", 3)
    await fill(few, FEW)
    await fill(many, MANY)
    for act in (usual, repeated, odd, refresh, page):
        costs = await few.cost(act), await many.cost(act)
        print(f"{act.__name__}: {costs[0]} steps with few tests, {costs[1]} with many")
        assert 0 < costs[1] <= ALLOWED * costs[0], (act.__name__, costs)
    for counted in (few, many):
        await counted.store.close()
