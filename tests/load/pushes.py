"""Timed pushes: batches of one size over some connections, as fast as the server answers."""

import asyncio
import re
import time
from itertools import chain

from load.limits import Limits
from load.notebooks import Batch, Notebooks
from load.report import Line
from load.senders import Sent, asking, connection, pushing, send, statuses
from load.watch import Watch

FILLING = 500
MANY = 8
CONNECTIONS = (1, MANY)
LONGEST = 600.0
"""Timeout, s."""
STALE = re.compile(rb"^splitline_stale_keys 0$|\A(?!.*splitline_stale_keys)", re.MULTILINE | re.DOTALL)
"""All figures are up to date, or the server has no such metric."""
PREPARED = 10_000
"""Records/s prepared for in the short trial that shows how many are needed."""


async def fill(url: str, notebooks: Notebooks, tests: int) -> Line:
    """Push all sources, then tests; return what the server then has. The server must accept all of it."""
    remarks: set[str] = set()
    batches = chain(notebooks.sources(), notebooks.batches(tests // FILLING, FILLING))
    for batch in batches:
        told = (await send(url, [pushing(batch)], 1)).told
        statuses(told)
        remarks |= {problem["code"] for one in told[0].read()["answers"] for problem in one["problems"]}
    assert "content_differs" not in remarks, "the contents sent are not those of the lines sent"
    seconds = await rested(url)
    async with connection(url) as line:
        regions = (await line.ask(asking("/api/v1/regions"))).read()["regions"]
    count = sum(region["tests"] for region in regions)
    said = f"{', '.join(sorted(remarks))}; figures after {seconds:.1f} s"
    return Line(f"filled: {count} tests counted in {len(regions)} regions", said=said)


async def rested(url: str) -> float:
    """Wait until a server reports that its figures are up to date, if it reports that; return the seconds."""
    begun = time.perf_counter()
    async with connection(url) as line:
        while not STALE.search((await line.ask(asking("/metrics"))).body):
            assert time.perf_counter() - begun < LONGEST, "the figures are still stale"
            await asyncio.sleep(0.05)
    return time.perf_counter() - begun


class Pushes:
    """Pushes to one server."""

    def __init__(self, url: str, watch: Watch, notebooks: Notebooks, seconds: float) -> None:
        self._url, self._watch, self._seconds = url, watch, seconds
        self.notebooks = notebooks

    async def line(self, size: int, connections: int, limits: Limits) -> Line:
        """Push for the chosen time; count processor time until the server is idle, and the part after the answers."""
        before, short = self._watch.computed(), self._seconds / 8
        trial = self.prepared(size, int(PREPARED * short / size) + 2 * connections)
        async with self._watch.remembering():
            tried = await self.send(trial, connections, short)
            enough = int(1.5 * self._seconds * len(tried.each) / tried.together) + 2 * connections
            sent = await self.send(self.prepared(size, enough), connections, self._seconds)
            answered = self._watch.computed()
            self._watch.settle()
        calls = len(tried.each) + len(sent.each)
        computed, later = ((self._watch.computed() - since) / calls for since in (before, answered))
        return _line(f"push of {size}, {counted(connections)}", sent, computed, later, limits.ratios(size, connections))

    def prepared(self, size: int, count: int) -> list[Batch]:
        """Return the next batches."""
        return list(self.notebooks.batches(count, size))

    async def send(self, batches: list[Batch], connections: int, seconds: float) -> Sent:
        """Push batches until the time is up; the rest are forgotten."""
        requests = [pushing(batch) for batch in batches]
        with self._watch.sharing():
            sent = await send(self._url, requests, connections, seconds)
        self.notebooks.take_back(batches[len(sent.each) :])
        return sent


def _line(what: str, sent: Sent, computed: float, later: float, limits: dict[str, float]) -> Line:
    records = statuses(sent.told).total() / sent.together
    failed = len(sent.told) - sent.accepted
    said = [f"{failed} of {len(sent.told)} were not accepted"] if failed else []
    return Line(
        what,
        records=records,
        calls=sent.accepted / sent.together,
        p50=1000 * sent.quantile(0.5),
        p99=1000 * sent.quantile(0.99),
        computing=1000 * computed,
        ratios={name: records / limit for name, limit in limits.items()},
        said="; ".join([*said, f"{1000 * later:.2f} ms of the computing after the last answer"]),
    )


def counted(connections: int) -> str:
    """Return the number of connections in words."""
    return f"{connections} connection{'s' * (connections > 1)}"
