"""How fast records go in and out over HTTP, against what the machine can do at all: `python tests/load/rates.py`.

Push is compared with the same rows inserted by plain `sqlite3` in this process, 500 a transaction, synchronous FULL,
into tables with the same indexes; pull with a bare Litestar application that gives back the same bytes. Every batch is
one person's 10 sources and 490 tests.

Pull is measured three times: every page asked for once only, so that none comes from the server's memory; the same
pages again and again, which a worker has in memory once it has made them; and these packed with zstd, as phones take
them, against an echo of the packed bytes.

Ratios are the figures: they are of one run on one machine. Where other programs run as well, waiting falls on some and
not on others; the ratios by computing time, which is what the processor did for the server, the echo or sqlite3 alone,
say more there.
"""

import argparse
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

import msgspec

sys.path.insert(0, str(Path(__file__).parent.parent))

from load import world
from load.calls import Call, Timed, answer, connected, cpu_seconds, memory, processes, settle, timed
from serving import UNLIMITED, served
from splitline.regions import regions

PLACES, VISITS = 10, 49
RECORDS = PLACES * (1 + VISITS)
SETTINGS = ((1, 1), (8, 1), (1, 2), (8, 2))
"""Connections and workers."""


@dataclass(frozen=True)
class Rate:
    """Records a second, by the clock and by computing time."""

    by_clock: float
    by_computing: float


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


def pages(url: str, head: int, rounds: int) -> list[list[Call]]:
    """Return calls that pull everything, round by round; no page of one round is one of another: each starts later."""
    epoch = msgspec.json.decode(answer(connected(url), Call("GET", "/api/v1/pull?limit=1")))["cursor"].split(".")[0]
    path = f"/api/v1/pull?limit={RECORDS}&cursor={epoch}."
    starts = [range(late, head - RECORDS + 1, RECORDS) for late in range(rounds)]
    return [[Call("GET", f"{path}{start}") for start in each] for each in starts]


def packed(calls: list[Call]) -> list[Call]:
    """Return the same calls as phones make them."""
    return [Call(call.method, call.path, call.body, (("Accept-Encoding", "zstd"),)) for call in calls]


def plainly(database: Path, folder: Path, indexed: bool) -> Rate:
    """Insert the rows of a filled database into another with plain sqlite3; return how fast."""
    with closing(sqlite3.connect(database)) as source:
        wanted = "tbl_name IN ('sources', 'tests') AND sql IS NOT NULL AND (type = 'table' OR ?)"
        tables = [sql for (sql,) in source.execute(f"SELECT sql FROM sqlite_master WHERE {wanted}", (indexed,))]
        asked = {name: f"SELECT * FROM {name} ORDER BY sequence" for name in ("sources", "tests")}
        rows = {name: source.execute(sql).fetchall() for name, sql in asked.items()}
    with closing(sqlite3.connect(folder / f"plain-{indexed}.sqlite3", isolation_level=None)) as target:
        target.execute("PRAGMA journal_mode = WAL")
        target.execute("PRAGMA synchronous = FULL")
        for sql in tables:
            target.execute(sql)
        start, computing, count = time.perf_counter(), time.process_time(), 0
        for name, whole in rows.items():
            holes = ", ".join("?" * len(whole[0]))
            for first in range(0, len(whole), RECORDS):
                part = whole[first : first + RECORDS]
                target.execute("BEGIN IMMEDIATE")
                target.executemany(f"INSERT INTO {name} VALUES ({holes})", part)
                target.execute("COMMIT")
                count += len(part)
        return Rate(count / (time.perf_counter() - start), count / (time.process_time() - computing))


@contextmanager
def echoing(workers: int) -> Iterator[tuple[str, int]]:
    """Serve the bare application; yield its address and process."""
    with closing(socket.socket()) as probe:
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
        settle(process.pid)
        yield f"http://127.0.0.1:{port}", process.pid
    finally:
        process.terminate()
        process.wait(30)


def counted(url: str, process: int, calls: list[Call], connections: int) -> tuple[Timed, Rate]:
    """Make calls of 500 records each; return their times, and how fast they were."""
    before = cpu_seconds(process)
    done = timed(url, calls, connections)
    count = len(done.each) * RECORDS
    return done, Rate(count / done.together, count / (cpu_seconds(process) - before))


def line(what: str, rate: Rate, against: Rate, done: Timed | None = None) -> None:
    """Print the figures of one run."""
    spread = (
        "".join(f"  p{share * 100:.0f} {1000 * done.quantile(share):7.1f} ms" for share in (0.5, 0.99)) if done else ""
    )
    clock, computing = rate.by_clock / against.by_clock, rate.by_computing / against.by_computing
    print(f"  {what:28} {rate.by_clock:8.0f}/s  ratio {clock:.2f}, by computing {computing:.2f}{spread}", flush=True)


def measure(folder: Path, pushed: list[Call], connections: int, workers: int, rounds: int) -> None:
    """Push and pull with one setting, and compare."""
    name = f"{connections} connection{'s' * (connections > 1)}, {workers} worker{'s' * (workers > 1)}"
    data = folder / f"{connections}-{workers}"
    with served(data, "--workers", str(workers), *UNLIMITED, anew=True) as server:
        settle(server.process.pid)
        idle = max(memory(process) for process in processes(server.process.pid))
        push, push_rate = counted(server.url, server.process.pid, pushed, connections)
        asked = pages(server.url, len(pushed) * RECORDS, rounds)
        once, once_rate = counted(server.url, server.process.pid, list(chain(*asked)), connections)
        bodies = [answer(connected(server.url), call) for call in asked[0]]
        again, again_rate = counted(server.url, server.process.pid, asked[0] * rounds, connections)
        small = [answer(connected(server.url), call) for call in packed(asked[0])]
        phones, phones_rate = counted(server.url, server.process.pid, packed(asked[0]) * rounds, connections)
        busy = max(memory(process) for process in processes(server.process.pid))
    with echoing(workers) as (url, process):
        whole = [Call("POST", "/echo", body) for body in bodies]
        echo, echo_rate = counted(url, process, whole * rounds, connections)
        little, little_rate = counted(
            url, process, [Call("POST", "/echo", body) for body in small] * rounds, connections
        )
    plain, bare = (plainly(data / "splitline.sqlite3", data, indexed) for indexed in (True, False))
    print(f"{name}: a process has {idle:.0f} MB when idle, {busy:.0f} MB at the end")
    line("plain sqlite3, same indexes", plain, plain)
    line("plain sqlite3, no index", bare, plain)
    line("push", push_rate, plain, push)
    line("echo of the pulled bytes", echo_rate, echo_rate, echo)
    line("pull, each page once", once_rate, echo_rate, once)
    line("pull, the same pages again", again_rate, echo_rate, again)
    line("echo of the packed bytes", little_rate, little_rate, little)
    line("pull packed, again", phones_rate, little_rate, phones)


def main() -> None:
    """Print the figures of every setting."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--batches", type=int, default=40, help=f"of {RECORDS} records each")
    parser.add_argument("--rounds", type=int, default=20, help="how often everything is pulled")
    chosen = parser.parse_args()
    pushed = batches(chosen.batches)
    with tempfile.TemporaryDirectory() as folder:
        for connections, workers in SETTINGS:
            measure(Path(folder), pushed, connections, workers, chosen.rounds)


if __name__ == "__main__":
    main()
