"""Phones that pull: pages of 500 changes of which each is asked for once, or again and again, packed or not."""

import time
from collections.abc import Iterator
from itertools import cycle
from random import Random

from load.echo import echoing
from load.report import Line
from load.senders import Sent, asking, connection, posting, send

PAGE = 500
STEP = 50
"""Changes from one page's start to the next one's: many pages, none of them the same."""
KEPT = 20
"""Pages that are asked for again and again."""
PACKED = "Accept-Encoding: zstd"
ECHOED = 40


async def lines(url: str, connections: int, seconds: float, select: float | None) -> list[Line]:
    """Return how fast pages go out, beside an echo of their bytes. select: rows/s of a plain SELECT, if measured."""
    cursors, found = await starts(url), []
    half = len(cursors) // 2
    with echoing() as least:
        for name, headers, mine in (("", (), cursors[:half]), (", packed", (PACKED,), cursors[half:])):
            each_once = await once(url, mine, connections, seconds, *headers)
            same = await again(url, mine, connections, seconds, *headers)
            echo = await echoed(least, [told.body for told in each_once.told], connections, seconds)
            bare = _line(f"echo of pulled pages{name}", echo, {})
            limits = {"echo": bare.records or 0.0, **({"SELECT": select} if select else {})}
            found += [bare, _line(f"pull, each page once{name}", each_once, limits)]
            found.append(_line(f"pull, the same pages again{name}", same, limits))
    return found


async def starts(url: str) -> list[str]:
    """Walk through all changes; return cursors after which a whole page follows."""
    cursors, more = [""], True
    async with connection(url) as line:
        while more:
            page = (await line.ask(asking(_path(cursors[-1], STEP)))).read()
            more = bool(page["more"])
            cursors.append(str(page["cursor"]))
    whole = cursors[: -(PAGE // STEP) - 1]
    Random("pages").shuffle(whole)
    return whole


def pages(cursors: list[str], *headers: str) -> list[bytes]:
    """Return the requests of pages."""
    return [asking(_path(cursor, PAGE), *headers) for cursor in cursors]


async def once(url: str, cursors: list[str], connections: int, seconds: float, *headers: str) -> Sent:
    """Ask for each page once, until the time is over."""
    return await send(url, pages(cursors, *headers), connections, seconds)


async def again(url: str, cursors: list[str], connections: int, seconds: float, *headers: str) -> Sent:
    """Ask for the same few pages, which are asked for once before, until the time is over."""
    few = pages(cursors[:KEPT], *headers)
    await send(url, few, 1)
    return await send(url, _until(seconds, few), connections)


async def echoed(url: str, bodies: list[bytes], connections: int, seconds: float) -> Sent:
    """Have the least server give back the same bytes, until the time is over."""
    requests = [posting("/echo", body) for body in bodies[:ECHOED]]
    await send(url, requests, 1)
    return await send(url, _until(seconds, requests), connections)


def _line(what: str, sent: Sent, limits: dict[str, float]) -> Line:
    assert sent.accepted == len(sent.told), "a page was not given out"
    calls = sent.accepted / sent.together
    ratios = {name: calls * PAGE / limit for name, limit in limits.items()}
    p50, p99 = (1000 * sent.quantile(share) for share in (0.5, 0.99))
    return Line(what, records=calls * PAGE, calls=calls, p50=p50, p99=p99, ratios=ratios)


def _until(seconds: float, requests: list[bytes]) -> Iterator[bytes]:
    until = time.perf_counter() + seconds
    for request in cycle(requests):
        if time.perf_counter() > until:
            return
        yield request


def _path(cursor: str, limit: int) -> str:
    return f"/api/v1/pull?limit={limit}" + (f"&cursor={cursor}" if cursor else "")
