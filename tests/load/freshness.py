"""How old the readers' figures are: the time from a push's answer until the source's page includes the change."""

import asyncio
import time
from itertools import count

from load.notebooks import Batch, Notebooks
from load.pushes import MANY, Pushes, rested
from load.report import Line
from load.senders import Connection, asking, connection, pushing, statuses
from load.stations import Station
from load.watch import Watch

LONGEST = 120.0
"""Timeout, s."""
POLL = 0.005
PAUSE = 0.2


class Unsaid(Exception):
    """The server does not state which changes its figures include."""


async def lines(url: str, watch: Watch, pushes: Pushes, times: int, seconds: float) -> list[Line]:
    """Return how long figures take to include some pushes, on an idle server and then under full load."""
    what = "figures follow a push"
    try:
        await rested(url)
        quiet = await idle(url, pushes.notebooks, times)
        tried = await pushes.send(pushes.prepared(50, 20 * MANY), MANY, seconds / 10)
        enough = int(1.5 * seconds * len(tried.each) / tried.together) + 2 * MANY
        load = pushes.prepared(50, enough)
        async with watch.remembering():
            busy = await loaded(url, pushes, load, seconds)
            watch.settle()
    except Unsaid:
        return [Line(what, said="the server does not say (no figures_upto); figures made in the push never lag")]
    return [Line.timed(f"{what}, idle", quiet), Line.timed(f"{what}, {MANY} connections push 50", busy)]


async def waited(line: Connection, notebooks: Notebooks, who: int, at: Station) -> float | None:
    """Push a test of today; return the seconds until its source's figures include it, None if it did not count.

    Raises Unsaid. After two minutes it returns the time waited so far.
    """
    batch = notebooks.single(who, at, days=1)
    told = await line.ask(pushing(batch))
    answered = time.perf_counter()
    if told.status != 200 or statuses([told])["stored"] == 0:
        return None
    while True:
        asked = time.perf_counter()
        page = (await line.ask(asking(f"/api/v1/sources/{at.id}"))).read()
        now = time.perf_counter()
        if "figures_upto" not in page:
            raise Unsaid
        sequence = next((shown["sequence"] for shown in page["tests"] if shown["id"] == batch.records[0]["id"]), None)
        upto = page["figures_upto"]
        known = upto is not None and sequence is not None and upto["sequence"] >= sequence
        if known or now - answered > LONGEST:
            return now - answered
        # Polling takes processor time from the computation.
        await asyncio.sleep(max(POLL, 2 * (now - asked)))


async def idle(url: str, notebooks: Notebooks, times: int) -> list[float]:
    """Return the time for each of some pushes on an otherwise idle server, s. Raises Unsaid."""
    places = notebooks.stations.all
    async with connection(url) as line:
        found = []
        for turn in range(times):
            found.append(await waited(line, notebooks, turn, places[turn * 7 % len(places)]))
            await asyncio.sleep(PAUSE)
    return [one for one in found if one is not None]


async def loaded(url: str, pushes: Pushes, load: list[Batch], seconds: float) -> list[float]:
    """Return the same while others push as fast as they can, s. Raises Unsaid."""
    notebooks = pushes.notebooks
    async with connection(url) as line:
        pushed = asyncio.create_task(pushes.send(load, MANY, seconds))
        places, found = notebooks.stations.all, []
        try:
            for turn in count():
                if pushed.done():
                    break
                found.append(await waited(line, notebooks, turn, places[turn * 7 % len(places)]))
                await asyncio.sleep(PAUSE)
        finally:
            sent = await pushed
        statuses(sent.told)
    return [one for one in found if one is not None]
