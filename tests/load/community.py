"""How fast a server stores, serves and evaluates what a community sends: `python tests/load/community.py`.

20,000 tests at 400 stations, most at a few of them, in six regions of two continents, by 300 people in two years;
then batches of new ones, mostly at a different station each, over HTTP, with no knowledge of the server
but its API. Ratios are to plain databases and a bare echo in the same run. README.md beside it has a table.
"""

import argparse
import asyncio
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import uvloop
from msgspec import json

sys.path.insert(0, str(Path(__file__).parent.parent))

from helpers.server_process import UNLIMITED, Served, served
from helpers.system import postgresql_cluster
from load import crowd, freshness, pulling, report
from load.calls import settle
from load.databases import Postgresql, Sqlite
from load.limits import Limits
from load.notebooks import Notebooks
from load.pushes import CONNECTIONS, MANY, Pushes, fill
from load.report import Line
from load.stations import Stations, today
from load.watch import Watch


@dataclass(frozen=True)
class Chosen:
    """What to measure. load: seconds of full load for measuring freshness; crowd: tests at one source."""

    engine: str = "sqlite"
    seconds: float = 10.0
    tests: int = 20_000
    stations: int = 400
    sizes: Sequence[int] = (50, 1, 500)
    load: float = 60.0
    probes: int = 50
    crowd: int = 60_000
    seed: int = 1
    json: bool = False


@contextmanager
def serving(chosen: Chosen, folder: Path) -> Iterator[tuple[Served, str, int | None]]:
    """Serve on the chosen engine; yield the server, its database's URL, and PostgreSQL's process if any."""
    if chosen.engine == "sqlite":
        with served(folder, *UNLIMITED) as server:
            [database] = folder.glob("*.sqlite3")
            yield server, str(database), None
        return
    with postgresql_cluster(durable=True) as cluster:
        cluster.start()
        postmaster = int((cluster.home / "data" / "postmaster.pid").read_text().splitlines()[0])
        with served(folder, "--database", cluster.url, *UNLIMITED) as server:
            yield server, cluster.url, postmaster


def measured(chosen: Chosen) -> list[Line]:
    """Measure everything in a temporary folder."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        with serving(chosen, folder / "data") as (server, database, postmaster):
            settle(server.process.pid)
            watch = Watch(server.process.pid, postmaster)
            plain = Postgresql(database, postmaster) if postmaster else Sqlite(database, folder)
            with asyncio.Runner(loop_factory=uvloop.new_event_loop) as runner:
                return runner.run(everything(chosen, server.url, watch, Limits(plain, chosen.seconds / 4)))


async def everything(chosen: Chosen, url: str, watch: Watch, limits: Limits) -> list[Line]:
    """Return all lines."""
    busy = os.getloadavg()[0]
    stations = Stations(chosen.stations, chosen.seed, today())
    notebooks = Notebooks(stations, chosen.seed)
    lines = told([await fill(url, notebooks, chosen.tests)])
    watch.settle()
    # From other contributors: the server has not seen what the plain databases were sent.
    lines += told(await limits.lines(Notebooks(stations, chosen.seed + 1), chosen.tests, chosen.sizes))
    pushes = Pushes(url, watch, notebooks, chosen.seconds)
    for size, connections in product(chosen.sizes, CONNECTIONS):
        lines += told([await pushes.line(size, connections, limits)])
    lines += told(await freshness.lines(url, watch, pushes, chosen.probes, chosen.load))
    kept = {"idle": watch.idle, "at most": watch.busy, "idle again": watch.memory()}
    lines += told([Line(f"memory of all processes, {when}", memory=size) for when, size in kept.items()])
    lines += told(await pulling.lines(url, MANY, chosen.seconds / 2, limits.select))
    if chosen.crowd:
        lines += told(await crowd.lines(url, watch, notebooks, chosen.crowd, chosen.probes))
    shares = f"{100 * watch.client:.0f} % of it, other programs {100 * watch.others:.0f} %"
    said = f"load {busy:.1f} at the start; in timed pushes the client took at most {shares}"
    return [*lines, Line(f"{chosen.engine}, {os.cpu_count()} processors", said=said)]


def told(lines: list[Line]) -> list[Line]:
    """Print the results so far on standard error."""
    if lines:
        print(report.table(lines), file=sys.stderr, flush=True)
    return lines


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--engine", choices=("sqlite", "postgresql"), default=Chosen.engine)
    parser.add_argument("--seconds", type=float, default=Chosen.seconds, help="of each timed part")
    parser.add_argument("--tests", type=int, default=Chosen.tests, help="stored before anything is timed")
    parser.add_argument("--stations", type=int, default=Chosen.stations)
    parser.add_argument("--sizes", type=int, nargs="+", default=Chosen.sizes, help="records in a push")
    parser.add_argument("--load", type=float, default=Chosen.load, help="seconds of full load for freshness")
    parser.add_argument("--probes", type=int, default=Chosen.probes, help="pushes whose figures are waited for")
    parser.add_argument("--crowd", type=int, default=Chosen.crowd, help="tests at one source; 0 leaves that out")
    parser.add_argument("--seed", type=int, default=Chosen.seed)
    parser.add_argument("--json", action="store_true")
    chosen = Chosen(**vars(parser.parse_args()))
    lines = measured(chosen)
    print(json.encode(report.plain(lines)).decode() if chosen.json else report.table(lines))


if __name__ == "__main__":
    main()
