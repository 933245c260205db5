"""Phones that pull: pages of 500 changes, each requested once or repeatedly, compressed or not."""

import time
from collections.abc import Iterator
from itertools import cycle
from random import Random

from load.echo import echoing
from load.report import Line
from load.senders import Sent, asking, connection, posting, send

PAGE = 500
STEP = 50
"""Changes between the starts of two pages, so that many pages differ."""
KEPT = 20
"""Pages requested repeatedly."""
PACKED = "Accept-Encoding: zstd"
ROUNDS = 4
"""Rounds in which echo and pull alternate, so that other load affects both."""
MOST = 1000
"""The most pages."""


async def lines(url: str, connections: int, seconds: float, select: float | None) -> list[Line]:
    """Return how fast pages are served, beside an echo of their bytes. select: rows/s of a SELECT, if measured."""
    paths, found = await starts(url), []
    half = len(paths) // 2
    with echoing() as least:
        for name, headers, mine in (("", (), paths[:half]), (", packed", (PACKED,), paths[half:])):
            asked = [asking(path, *headers) for path in mine]
            echo, once, again = await in_turn(url, least, asked, connections, seconds)
            bare = _line(f"echo of pulled pages{name}", echo, {})
            limits = {"echo": bare.records or 0.0, **({"SELECT": select} if select else {})}
            found += [bare, _line(f"pull, each page once{name}", once, limits)]
            found.append(_line(f"pull, the same pages again{name}", again, limits))
    return found


async def in_turn(url: str, least: str, asked: list[bytes], connections: int, seconds: float) -> list[Sent]:
    """Return results for an echo of pages, pages requested once, and a few requested repeatedly. least: the echo."""
    kept, until = min(KEPT, len(asked) // 3 + 1), seconds / ROUNDS
    few, others = asked[:kept], asked[kept:]
    echoes = [posting("/echo", told.body) for told in (await send(url, few, 1)).told]
    done: list[list[Sent]] = [[], [], []]
    for turn in range(ROUNDS):
        work = (over_and_over(echoes, until), others[turn::ROUNDS], over_and_over(few, until))
        for sents, base, requests in zip(done, (least, url, url), work, strict=True):
            sents.append(await send(base, requests, connections, until, keep=False))
    return [joined(sents) for sents in done]


async def starts(url: str) -> list[str]:
    """Walk through the changes; return paths of full pages, all different."""
    cursors, more = [""], True
    async with connection(url) as line:
        while more and len(cursors) < MOST:
            page = (await line.ask(asking(_path(cursors[-1], STEP)))).read()
            more = bool(page["more"])
            cursors.append(str(page["cursor"]))
    whole = cursors[: -(PAGE // STEP) - 1]
    Random("pages").shuffle(whole)
    return [_path(cursor, PAGE) for cursor in whole]


def joined(sents: list[Sent]) -> Sent:
    """Return all rounds merged."""
    each = [spent for sent in sents for spent in sent.each]
    return Sent(each, sum(sent.together for sent in sents), [told for sent in sents for told in sent.told])


def _line(what: str, sent: Sent, limits: dict[str, float]) -> Line:
    assert sent.accepted == len(sent.told), "a page was not served"
    calls = sent.accepted / sent.together
    ratios = {name: calls * PAGE / limit for name, limit in limits.items()}
    p50, p99 = (1000 * sent.quantile(share) for share in (0.5, 0.99))
    return Line(what, records=calls * PAGE, calls=calls, p50=p50, p99=p99, ratios=ratios)


def over_and_over(requests: list[bytes], seconds: float) -> Iterator[bytes]:
    """Repeat some requests until the time is up."""
    until = time.perf_counter() + seconds
    for request in cycle(requests):
        if time.perf_counter() > until:
            return
        yield request


def _path(cursor: str, limit: int) -> str:
    return f"/api/v1/pull?limit={limit}" + (f"&cursor={cursor}" if cursor else "")
