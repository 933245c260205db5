"""How fast records go over HTTP into PostgreSQL and out of it: `python tests/load/postgresql.py`.

A throw-away server that waits for the disk at every commit. Push is compared with the same rows inserted by plain
asyncpg, 500 a transaction, into copies of the tables with the same indexes; pull, every page asked for once only, with
the same rows selected by plain asyncpg, 500 at a time by their numbers. By computing: what the processor did for
Splitline and for PostgreSQL together, against this process and PostgreSQL together.
"""

import argparse
import asyncio
import sys
import tempfile
import time
from itertools import chain
from pathlib import Path

import asyncpg

sys.path.insert(0, str(Path(__file__).parent.parent))

from load.calls import Call, Timed, cpu_seconds, settle, timed
from load.rates import RECORDS, Rate, batches, line, pages
from serving import UNLIMITED, Served, served
from system import postgresql_cluster

SETTINGS = ((1, 1), (8, 1), (1, 2), (8, 2))
"""Connections and workers."""


async def execute(url: str, text: str) -> None:
    """Run one statement."""
    connection = await asyncpg.connect(url)
    await connection.execute(text)
    await connection.close()


async def plainly(url: str, postmaster: int) -> Rate:
    """Insert the rows of a filled database into copies of its tables; return how fast."""
    connection = await asyncpg.connect(url)
    count = 0
    rows = {name: await connection.fetch(f"SELECT * FROM {name} ORDER BY sequence") for name in ("sources", "tests")}
    for name in rows:
        await connection.execute(f"CREATE TABLE plain_{name} (LIKE {name} INCLUDING ALL)")
    start, computing = time.perf_counter(), time.process_time() + cpu_seconds(postmaster)
    for name, whole in rows.items():
        holes = ", ".join(f"${place}" for place in range(1, len(whole[0]) + 1))
        for first in range(0, len(whole), RECORDS):
            part = whole[first : first + RECORDS]
            async with connection.transaction():
                await connection.executemany(f"INSERT INTO plain_{name} VALUES ({holes})", part)
            count += len(part)
    spent = time.perf_counter() - start
    computed = time.process_time() + cpu_seconds(postmaster) - computing
    await connection.close()
    return Rate(count / spent, count / computed)


async def selected(url: str, postmaster: int, rounds: int) -> Rate:
    """Read the rows of all tests, some at a time; return how fast."""
    connection = await asyncpg.connect(url)
    text = "SELECT * FROM tests WHERE sequence > $1 ORDER BY sequence LIMIT $2"
    count = 0
    start, computing = time.perf_counter(), time.process_time() + cpu_seconds(postmaster)
    for late in range(rounds):
        after = late
        while rows := await connection.fetch(text, after, RECORDS):
            count += len(rows)
            after = rows[-1]["sequence"]
    spent = time.perf_counter() - start
    computed = time.process_time() + cpu_seconds(postmaster) - computing
    await connection.close()
    return Rate(count / spent, count / computed)


def counted(server: Served, postmaster: int, calls: list[Call], connections: int) -> tuple[Timed, Rate]:
    """Make calls of 500 records each; return their times, and how fast they were."""
    before = cpu_seconds(server.process.pid) + cpu_seconds(postmaster)
    done = timed(server.url, calls, connections)
    computed = cpu_seconds(server.process.pid) + cpu_seconds(postmaster) - before
    count = len(calls) * RECORDS
    return done, Rate(count / done.together, count / computed)


def postmaster_of(folder: Path) -> int:
    """The process at the top of the PostgreSQL server whose data are in a folder."""
    return int((folder / "postmaster.pid").read_text().splitlines()[0])


def main() -> None:
    """Print the figures of every setting."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--batches", type=int, default=40, help=f"of {RECORDS} records each")
    parser.add_argument("--rounds", type=int, default=5, help="how often everything is pulled")
    chosen = parser.parse_args()
    pushed = batches(chosen.batches)
    with tempfile.TemporaryDirectory() as folder, postgresql_cluster(durable=True) as cluster:
        cluster.start()
        url, postmaster = cluster.url, postmaster_of(cluster.home / "data")
        for connections, workers in SETTINGS:
            name = f"rates_{connections}_{workers}"
            asyncio.run(execute(url, f"CREATE DATABASE {name}"))
            database = url.rpartition("/")[0] + f"/{name}"
            options = ("--workers", str(workers), "--database", database, *UNLIMITED)
            with served(Path(folder) / name, *options) as server:
                settle(server.process.pid)
                push, push_rate = counted(server, postmaster, pushed, connections)
                asked = chain(*pages(server.url, len(pushed) * RECORDS, chosen.rounds))
                pull, pull_rate = counted(server, postmaster, list(asked), connections)
            plain = asyncio.run(plainly(database, postmaster))
            select = asyncio.run(selected(database, postmaster, chosen.rounds))
            print(f"{connections} connection{'s' * (connections > 1)}, {workers} worker{'s' * (workers > 1)}")
            line("plain asyncpg, same indexes", plain, plain)
            line("push", push_rate, plain, push)
            line("plain asyncpg, select", select, select)
            line("pull, each page once", pull_rate, select, pull)


if __name__ == "__main__":
    main()
