"""How fast records go in over HTTP into PostgreSQL: `python tests/load/postgresql.py`.

A throw-away server that waits for the disk at every commit. Push is compared with the same rows
inserted by plain asyncpg, 500 a transaction, into copies of the tables with the same indexes. By computing: what the
processor did for Splitline and for PostgreSQL together, against this process and PostgreSQL together.
"""

import argparse
import asyncio
import sys
import tempfile
import time
from pathlib import Path

import asyncpg

sys.path.insert(0, str(Path(__file__).parent.parent))

from load.calls import cpu_seconds, settle, timed
from load.rates import RECORDS, SETTINGS, Rate, batches, line
from serving import UNLIMITED, served
from system import postgresql_cluster


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


def postmaster_of(folder: Path) -> int:
    """The process at the top of the PostgreSQL server whose data are in a folder."""
    return int((folder / "postmaster.pid").read_text().splitlines()[0])


def main() -> None:
    """Print the figures of every setting."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--batches", type=int, default=40, help=f"of {RECORDS} records each")
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
            with served(Path(folder) / name, *options, anew=True) as server:
                settle(server.process.pid)
                before = cpu_seconds(server.process.pid) + cpu_seconds(postmaster)
                push = timed(server.url, pushed, connections)
                computed = cpu_seconds(server.process.pid) + cpu_seconds(postmaster) - before
            count = len(pushed) * RECORDS
            plain = asyncio.run(plainly(database, postmaster))
            print(f"{connections} connection{'s' * (connections > 1)}, {workers} worker{'s' * (workers > 1)}")
            line("plain asyncpg, same indexes", plain, plain)
            line("push", Rate(count / push.together, count / computed), plain, push)


if __name__ == "__main__":
    main()
