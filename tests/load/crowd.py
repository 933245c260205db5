"""One source with very many tests by one contributor: the cost of a push there, and for everyone else meanwhile."""

import asyncio
import sys
from collections.abc import Iterator
from random import Random

from load.freshness import Unsaid, waited
from load.notebooks import Batch, Notebooks
from load.report import Line
from load.senders import connection, pushing, send, statuses
from load.stations import Station, station
from load.watch import Watch

FEW = 500
ELSEWHERE = 0.5
"""The rank of the station used as "elsewhere"."""


async def lines(url: str, watch: Watch, notebooks: Notebooks, tests: int, times: int) -> list[Line]:
    """Fill one source with many tests and one with few; return the cost of pushes there and elsewhere."""
    random = Random("crowd")
    crowded, quiet = (station(random, number, notebooks.stations.start) for number in range(2))
    crowd = Crowd(url, notebooks, crowded, quiet)
    await crowd.fill(tests)
    watch.settle()
    return await crowd.lines(times)


class Crowd:
    """Two further sources: a crowded one, and one with 500 tests."""

    def __init__(self, url: str, notebooks: Notebooks, crowded: Station, quiet: Station) -> None:
        self._url, self._notebooks = url, notebooks
        self._crowded, self._quiet = crowded, quiet
        self._elsewhere = notebooks.stations.all[int(ELSEWHERE * len(notebooks.stations.all))]

    async def fill(self, tests: int) -> None:
        """Push both sources and their tests in batches of 500."""
        for who, (at, many) in enumerate(((self._quiet, FEW), (self._crowded, tests))):
            secret = self._notebooks.all[who].secret
            statuses((await send(self._url, [pushing(Batch(secret, [at.record]))], 1)).told)
            for first in range(0, many, FEW):
                records = [self._notebooks.single(who, at).records[0] for _ in range(min(FEW, many - first))]
                statuses((await send(self._url, [pushing(Batch(secret, records))], 1)).told)
                if first % 10_000 == 0 and first:
                    print(f"  {first} tests at one source", file=sys.stderr, flush=True)

    async def lines(self, times: int) -> list[Line]:
        """Return the times of single-test pushes at each, and elsewhere while others push to the crowded one."""
        quiet = await self._pushed("push of 1 at a source with 500 tests", self._quiet, times)
        there = await self._pushed("the same at the crowded source", self._crowded, times, quiet)
        away = await self._pushed("the same elsewhere", self._elsewhere, times)
        done = asyncio.Event()
        crowding = asyncio.create_task(send(self._url, self._tests(self._crowded, done), 1))
        meanwhile = await self._pushed("elsewhere, while one pushes there", self._elsewhere, times, away)
        done.set()
        statuses((await crowding).told)
        return [quiet, there, away, meanwhile, *await self._fresh(times // 3 + 1)]

    async def _pushed(self, what: str, at: Station, times: int, to: Line | None = None) -> Line:
        requests = [self._request(at, turn) for turn in range(times)]
        sent = await send(self._url, requests, 1)
        statuses(sent.told)
        return Line.timed(what, sent.each, to)

    def _tests(self, at: Station, done: asyncio.Event) -> Iterator[bytes]:
        turn = 0
        while not done.is_set():
            yield self._request(at, turn)
            turn += 1

    def _request(self, at: Station, turn: int) -> bytes:
        return pushing(self._notebooks.single(turn, at))

    async def _fresh(self, times: int) -> list[Line]:
        found = {}
        async with connection(self._url) as line:
            for name, at in (("with 500 tests", self._quiet), ("that is crowded", self._crowded)):
                try:
                    waits = [await waited(line, self._notebooks, turn, at) for turn in range(times)]
                except Unsaid:
                    return []
                found[name] = [wait for wait in waits if wait is not None]
        lines: list[Line] = []
        for name, each in found.items():
            lines.append(Line.timed(f"figures follow at a source {name}", each, lines[0] if lines else None))
        return lines
