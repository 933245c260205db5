"""How fast records go in and out over HTTP, against what the machine can do at all: `python tests/load/rates.py`.

Push is compared with the same rows inserted by plain `sqlite3` in this process, 500 a transaction, synchronous FULL,
into tables with the same indexes; pull with a bare Litestar application that gives back the same bytes. Every batch is
one person's 10 sources and 490 tests. Ratios are the figures: they are of one run on one machine.
"""

import argparse
import http.client
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import msgspec

sys.path.insert(0, str(Path(__file__).parent.parent))

from load import world
from load.calls import Call, Timed, answer, connected, memory, processes, timed
from serving import UNLIMITED, served
from splitline.regions import regions

PLACES, VISITS = 10, 49
RECORDS = PLACES * (1 + VISITS)
SETTINGS = ((1, 1), (8, 1), (1, 2), (8, 2))
"""Connections and workers."""


def batches(count: int) -> list[Call]:
    """Return batches to push, each of one person with sources of their own."""
    found: list[Call] = []
    for district in world.districts(regions(), -(-count * PLACES // world.SOURCES)):
        sources = [parcel.records[0] for parcel in world.sources_of(district)]
        for first in range(0, world.SOURCES, PLACES):
            who = world.person(district, first)
            tests = world.visits(district, f"rates {first}", who, list(range(first, first + PLACES)), VISITS)
            records = [*sources[first : first + PLACES], *tests.records]
            headers = {"Authorization": f"Bearer {world.secret(district, first)}", "Content-Type": "application/json"}
            body = msgspec.json.encode({"records": records})
            found.append(Call("POST", "/api/v1/push", body, tuple(headers.items())))
    return found[:count]


def pages(url: str) -> tuple[list[Call], list[bytes]]:
    """Return the calls that pull everything from the start, and what they give back."""
    connection, calls, bodies, cursor = connected(url), [], [], ""
    while True:
        call = Call("GET", f"/api/v1/pull?limit={RECORDS}&cursor={cursor}")
        body = answer(connection, call)
        page = msgspec.json.decode(body)
        if len(page["changes"]) < RECORDS:
            return calls, bodies
        calls.append(call)
        bodies.append(body)
        cursor = page["cursor"]


def plainly(database: Path, folder: Path, indexed: bool) -> float:
    """Insert the rows of a filled database into another with plain sqlite3; return rows a second."""
    with closing(sqlite3.connect(database)) as source:
        wanted = "tbl_name IN ('sources', 'tests') AND sql IS NOT NULL AND (type = 'table' OR ?)"
        tables = [sql for (sql,) in source.execute(f"SELECT sql FROM sqlite_master WHERE {wanted}", (indexed,))]
        rows = {
            name: source.execute(f"SELECT * FROM {name} ORDER BY sequence").fetchall() for name in ("sources", "tests")
        }
    with closing(sqlite3.connect(folder / f"plain-{indexed}.sqlite3", isolation_level=None)) as target:
        target.execute("PRAGMA journal_mode = WAL")
        target.execute("PRAGMA synchronous = FULL")
        for sql in tables:
            target.execute(sql)
        start, count = time.perf_counter(), 0
        for name, whole in rows.items():
            holes = ", ".join("?" * len(whole[0]))
            for first in range(0, len(whole), RECORDS):
                part = whole[first : first + RECORDS]
                target.execute("BEGIN IMMEDIATE")
                target.executemany(f"INSERT INTO {name} VALUES ({holes})", part)
                target.execute("COMMIT")
                count += len(part)
        return count / (time.perf_counter() - start)


@contextmanager
def echoing(workers: int) -> Iterator[str]:
    """Serve the bare application; yield its address."""
    with closing(http.client.socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "uvicorn", "load.echo:app", "--port", str(port), "--workers", str(workers)]
    quiet = ["--log-level", "error", "--no-access-log", "--app-dir", str(Path(__file__).parent.parent)]
    process = subprocess.Popen([*command, *quiet])
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                answer(connected(f"http://127.0.0.1:{port}"), Call("POST", "/echo", b"{}"))
                break
            except OSError:
                time.sleep(0.1)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(30)


def line(what: str, done: Timed, against: float) -> float:
    """Print the figures of one run; return records a second."""
    rate = len(done.each) * RECORDS / done.together
    middle, worst = (1000 * done.quantile(share) for share in (0.5, 0.99))
    print(f"{what:34} {rate:9.0f}/s  p50 {middle:7.1f} ms  p99 {worst:7.1f} ms  ratio {rate / against:.2f}", flush=True)
    return rate


def measure(folder: Path, pushed: list[Call], connections: int, workers: int, rounds: int) -> None:
    """Push and pull with one setting, and compare."""
    name = f"{connections} connection{'s' * (connections > 1)}, {workers} worker{'s' * (workers > 1)}"
    data = folder / f"{connections}-{workers}"
    with served(data, "--workers", str(workers), *UNLIMITED) as server:
        for _ in range(4 * workers):
            answer(connected(server.url), Call("GET", "/healthz"))
        idle = max(memory(process) for process in processes(server.process.pid))
        push = timed(server.url, pushed, connections)
        calls, bodies = pages(server.url)
        pull = timed(server.url, calls * rounds, connections)
        busy = max(memory(process) for process in processes(server.process.pid))
    with echoing(workers) as url:
        echo = timed(url, [Call("POST", "/echo", body) for body in bodies] * rounds, connections)
    plain, bare = (plainly(data / "splitline.sqlite3", data, indexed) for indexed in (True, False))
    print(f"{name}: a process has {idle:.0f} MB when idle, {busy:.0f} MB at the end")
    print(f"{'  plain sqlite3, same indexes':34} {plain:9.0f}/s")
    print(f"{'  plain sqlite3, no index':34} {bare:9.0f}/s  ratio {bare / plain:.2f}")
    line("  push", push, plain)
    bare_rate = len(echo.each) * RECORDS / echo.together
    line("  echo of the pulled bytes", echo, bare_rate)
    line("  pull", pull, bare_rate)


def main() -> None:
    """Print the figures of every setting."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--batches", type=int, default=40, help=f"of {RECORDS} records each")
    parser.add_argument("--rounds", type=int, default=5, help="how often everything is pulled")
    chosen = parser.parse_args()
    pushed = batches(chosen.batches)
    with tempfile.TemporaryDirectory() as folder:
        for connections, workers in SETTINGS:
            measure(Path(folder), pushed, connections, workers, chosen.rounds)


if __name__ == "__main__":
    main()
