"""The invented community is as the benchmark states, and the benchmark runs from start to end."""

import ast
import asyncio
import re
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest
from msgspec import json

from load.community import Chosen, measured
from load.notebooks import AGAIN, CORRECTED, ODD, TWICE, Batch, Notebooks
from load.report import plain, table
from load.senders import asking, connection
from load.stations import DAYS, Stations

UNTIL = datetime(2026, 11, 1, tzinfo=UTC)
STATIONS, BATCHES = 400, 200


def community(seed: int = 1) -> tuple[Notebooks, list[Batch]]:
    notebooks = Notebooks(Stations(STATIONS, seed, UNTIL), seed)
    return notebooks, list(notebooks.batches(BATCHES, 50))


@pytest.fixture(scope="module")
def first() -> tuple[Notebooks, list[Batch]]:
    """A community for tests that only look at it."""
    return community()


def test_the_community_has_the_stated_numbers(first: tuple[Notebooks, list[Batch]]) -> None:
    notebooks, batches = first
    sent = [test for batch in batches for test in batch.records]
    assert len({batch.secret for batch in batches}) == BATCHES
    assert sum(len(batch.records) for batch in notebooks.sources()) == STATIONS
    shares = {sort: count / len(sent) for sort, count in notebooks.sorts.items()}
    wanted = {"twice": TWICE, "corrected": CORRECTED, "again": AGAIN, "odd": ODD}
    # At first nobody has anything to resend; five standard deviations of 10,000 draws.
    assert {sort: shares[sort] for sort in wanted} == pytest.approx(wanted, abs=0.009)
    visits = Counter(test["source"] for test in sent).most_common()
    tenth = sum(count for _, count in visits[: STATIONS // 10])
    assert tenth > 0.4 * len(sent)
    assert len(visits) > 0.9 * STATIONS
    assert 42 < sum(len({test["source"] for test in batch.records}) for batch in batches) / BATCHES < 48
    days = [(UNTIL - datetime.fromisoformat(test["sampled_at"])).days for test in sent]
    assert min(days) >= 0
    assert DAYS - 20 < max(days) < DAYS


def test_duplicates_corrections_and_repeats_are_sent_as_stated(first: tuple[Notebooks, list[Batch]]) -> None:
    """Counted in the records themselves: duplicates, higher revisions, identical repeats."""
    notebooks, batches = first
    texts = Counter(json.encode(test) for batch in batches for test in batch.records)
    assert sum(count - 1 for count in texts.values()) == notebooks.sorts["again"] > 0
    tests = [json.decode(text) for text in texts]
    assert sum(test["revision"] > 1 for test in tests) >= notebooks.sorts["corrected"] > 0
    readings = Counter(str((test["source"], test["sampled_at"], test["runs"])) for test in tests)
    assert sum(count - 1 for count in readings.values()) == notebooks.sorts["twice"] > 0


def test_the_seed_determines_the_community(first: tuple[Notebooks, list[Batch]]) -> None:
    (_, batches), (_, same), (_, other) = first, community(), community(seed=2)
    assert batches == same
    assert not {batch.secret for batch in batches} & {batch.secret for batch in other}


def test_the_benchmark_runs() -> None:
    """On the real server, which finds six regions in the records."""
    lines = measured(Chosen(seconds=0.1, tests=500, stations=60, sizes=(20,), load=0.1, probes=2, crowd=0))
    assert re.fullmatch(r"filled: 4\d\d tests counted in 6 regions", lines[0].what), lines[0]
    by_name = {line.what: line for line in lines}
    pushed = [by_name[f"push of 20, {over}"] for over in ("1 connection", "8 connections")]
    assert all(line.records and line.p99 and line.computing and line.ratios for line in pushed)
    assert all("of the computing after the last answer" in line.said for line in pushed)
    idle, most = (by_name[f"memory of all processes, {when}"].memory or 0 for when in ("idle", "at most"))
    assert 20 < idle <= most < 2000
    assert (by_name["pull, each page once"].ratios or {})["echo"] > 0
    assert len(table(lines).splitlines()) == len(lines) + 1
    assert len(json.decode(json.encode(plain(lines)))) == len(lines)


async def test_a_connection_that_the_server_closed_is_opened_again() -> None:
    async def answer(asked: asyncio.StreamReader, told: asyncio.StreamWriter) -> None:
        await asked.readuntil(b"\r\n\r\n")
        told.write(b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\nok")
        told.close()

    server = await asyncio.start_server(answer, "127.0.0.1", 0)
    async with server, connection(f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}") as line:
        for _ in range(3):
            assert (await line.ask(asking("/"))).body == b"ok"
            while await asyncio.sleep(0.01, line.is_open):
                pass


def test_unsent_batches_are_forgotten() -> None:
    notebooks, batches = community()
    before = [list(notebook.noted) for notebook in notebooks.all]
    notebooks.take_back(list(notebooks.batches(2 * len(notebooks.all), 5)))
    assert [list(notebook.noted) for notebook in notebooks.all] == before
    assert notebooks.batch(1).secret not in {batch.secret for batch in batches}


def test_nothing_of_the_server_is_imported() -> None:
    """The benchmark shares no code with the server, not even through its imports from these tests."""
    folder = Path(__file__).parent
    waiting, seen = [folder / "community.py"], set[Path]()
    while waiting:
        file = waiting.pop()
        seen.add(file)
        for node in ast.walk(ast.parse(file.read_text())):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [f"{name}.{alias.name}" for name in names for alias in getattr(node, "names", ())]
            assert not [name for name in names if name.split(".")[0] == "splitline"], file
            found = [folder.parent / f"{name.replace('.', '/')}.py" for name in names]
            # The fork server imports the product; a benchmark starts real processes instead.
            waiting += [path for path in found if path.exists() and path not in seen and path.name != "fork_server.py"]
    assert {path.name for path in seen} > {"senders.py", "databases.py", "echo.py", "server_process.py", "system.py"}
