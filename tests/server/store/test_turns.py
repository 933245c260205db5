"""Turns of writers in several processes: each waits for one turn of another, and nobody is forgotten."""

import asyncio
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from subprocess import PIPE, Popen
from time import monotonic

import pytest

from splitline.store.faults import StoreUnavailable
from splitline.store.turns import ENDINGS, Turns

GREEDY = """
import asyncio, sys
from pathlib import Path
from splitline.store.turns import Turns

async def main():
    turns = Turns(Path(sys.argv[1]), 20.0)
    async def write():
        while True:
            async with turns.turn():
                print("x", flush=True)
                await asyncio.sleep(float(sys.argv[2]))
    await asyncio.gather(*(write() for _ in range(4)))

asyncio.run(main())
"""


@contextmanager
def greedy(path: Path, seconds: float) -> Iterator[Popen[bytes]]:
    """Another process whose four writers follow each other without a pause, once its first turn has begun."""
    with Popen([sys.executable, "-c", GREEDY, str(path), str(seconds)], stdout=PIPE) as process:
        try:
            assert process.stdout
            assert process.stdout.readline()
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize(("pause", "expected"), [(0.0, {1}), (0.005, {0, 1})])
async def test_processes_take_turns(tmp_path: Path, pause: float, expected: set[int]) -> None:
    """Another's turns between two of ours: one where we want ours at once, one at most where we come back later."""
    turns, meanwhile = Turns(tmp_path / "db", 20.0), []
    with greedy(tmp_path / "db", 0.02) as process:
        assert process.stdout
        os.set_blocking(process.stdout.fileno(), False)
        for _ in range(30):
            process.stdout.read()
            async with turns.turn():
                meanwhile.append(len(process.stdout.read() or b"") // 2)
                await asyncio.sleep(0.02)
            await asyncio.sleep(pause)
    turns.close()
    # A slow machine may stop this process just before it lines up: not mostly.
    assert median(meanwhile) in expected, meanwhile


async def test_the_turn_of_a_process_that_dies_is_over(tmp_path: Path) -> None:
    with greedy(tmp_path / "db", 3600.0):
        waiting = asyncio.create_task(taken(Turns(tmp_path / "db", 20.0)))
        await asyncio.sleep(0.1)
        assert not waiting.done()
    await waiting


async def test_a_turn_that_does_not_come_is_told_and_leaves_the_line(tmp_path: Path) -> None:
    holding, waiting = Turns(tmp_path / "db", 20.0), Turns(tmp_path / "db", 0.2)
    async with holding.turn():
        start = monotonic()
        for _ in range(2):
            with pytest.raises(StoreUnavailable, match="turn"):
                await taken(waiting)
        assert monotonic() - start >= 0.39
        queued = asyncio.create_task(taken(holding))
    await queued
    await taken(waiting)


async def test_one_that_fails_gives_its_turn_back(tmp_path: Path) -> None:
    turns = Turns(tmp_path / "db", 1.0)
    with pytest.raises(ValueError, match="on purpose"):
        async with turns.turn():
            raise ValueError("on purpose")
    await taken(turns)
    await taken(Turns(tmp_path / "db", 1.0))


async def test_where_no_file_can_be_made_there_is_no_line(tmp_path: Path) -> None:
    turns = Turns(tmp_path / "none" / "db", 1.0)
    await taken(turns)
    (tmp_path / "none").mkdir()
    await taken(turns)
    assert {path.name for path in (tmp_path / "none").iterdir()} == {f"db{ending}" for ending in ENDINGS}


async def taken(turns: Turns) -> None:
    async with turns.turn():
        pass
