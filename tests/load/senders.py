"""Phones that send as fast as they are answered: prepared requests over persistent connections.

Client and server share the machine, so nothing is prepared, parsed or checked while the clock runs.
"""

import asyncio
import re
import time
from collections import Counter
from collections.abc import AsyncIterator, Iterable, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import Any, cast
from urllib.parse import urlsplit

from msgspec import json

from load.calls import quantile
from load.notebooks import Batch

LENGTH = re.compile(rb"\r\ncontent-length: *(\d+)\r\n", re.IGNORECASE)
PUSH = "/api/v1/push"


@dataclass(frozen=True)
class Told:
    """An answer."""

    status: int
    body: bytes

    def read(self) -> dict[str, Any]:
        """Return the JSON of an answer, which must be 200."""
        assert self.status == 200, (self.status, self.body[:500])
        return dict(json.decode(self.body))


@dataclass(frozen=True)
class Sent:
    """The outcome of some requests. each: time of each, s; together: total time, s; told: the answers."""

    each: list[float]
    together: float
    told: list[Told]

    def quantile(self, share: float) -> float:
        """The time that this share of the calls did not exceed, s."""
        return quantile(self.each, share)

    @property
    def accepted(self) -> int:
        """How many answers were 200."""
        return sum(told.status == 200 for told in self.told)


class Connection(asyncio.Protocol):
    """One connection; one request at a time. address: host and port."""

    def __init__(self, address: tuple[str, int]) -> None:
        self._address = address
        self._transport: asyncio.WriteTransport | None = None
        self._answer: asyncio.Future[Told] | None = None
        self._read, self._end = bytearray(), 0

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Remember where to write."""
        self._transport = cast(asyncio.WriteTransport, transport)

    def connection_lost(self, exc: Exception | None) -> None:
        """Fail the pending request."""
        if self._answer and not self._answer.done():
            self._answer.set_exception(exc or ConnectionResetError("closed before the answer"))

    def data_received(self, data: bytes) -> None:
        """Collect an answer."""
        self._read += data
        if not self._end and (head := self._read.find(b"\r\n\r\n")) >= 0:
            length = LENGTH.search(self._read, 0, head + 2)
            assert length, "an answer without a length"
            self._end = head + 4 + int(length[1])
        if self._end and len(self._read) >= self._end and self._answer:
            body = bytes(self._read[self._read.find(b"\r\n\r\n") + 4 :])
            self._answer.set_result(Told(int(self._read[9:12]), body))

    async def ask(self, request: bytes) -> Told:
        """Send one request and return its answer. Reconnects if the server has closed an idle connection."""
        if not self.is_open:
            await self.open()
        assert self._transport
        self._answer = asyncio.get_running_loop().create_future()
        self._read.clear()
        self._end = 0
        self._transport.write(request)
        return await self._answer

    @property
    def is_open(self) -> bool:
        """Whether the server has not closed it."""
        return self._transport is not None and not self._transport.is_closing()

    async def open(self) -> None:
        """Open it."""
        await asyncio.get_running_loop().create_connection(lambda: self, *self._address)

    def close(self) -> None:
        """Close it."""
        if self._transport:
            self._transport.close()


@asynccontextmanager
async def connection(url: str) -> AsyncIterator[Connection]:
    """Open a connection for a while."""
    address = urlsplit(url)
    made = Connection((address.hostname or "", address.port or 80))
    await made.open()
    try:
        yield made
    finally:
        made.close()


def asking(path: str, *headers: str) -> bytes:
    """Return a GET request. headers: complete lines."""
    return "\r\n".join((f"GET {path} HTTP/1.1", "Host: localhost", *headers, "", "")).encode()


def posting(path: str, body: bytes, *headers: str) -> bytes:
    """Return a POST request with JSON. headers: complete lines."""
    head = (f"POST {path} HTTP/1.1", "Host: localhost", "Content-Type: application/json", *headers)
    return "\r\n".join((*head, f"Content-Length: {len(body)}", "", "")).encode() + body


def pushing(batch: Batch) -> bytes:
    """Return the request that pushes a batch."""
    return posting(PUSH, json.encode({"records": batch.records}), f"Authorization: Bearer {batch.secret}")


async def send(
    url: str, requests: Iterable[bytes], connections: int, seconds: float = float("inf"), keep: bool = True
) -> Sent:
    """Send requests until none is left or the time is up; each connection takes the next one. keep: keep the bodies."""
    waiting = iter(requests)
    start = time.perf_counter()
    done = await asyncio.gather(*(_on_one(url, waiting, start + seconds, keep) for _ in range(connections)))
    together = time.perf_counter() - start
    return Sent([one[0] for each in done for one in each], together, [one[1] for each in done for one in each])


async def _on_one(url: str, waiting: Iterator[bytes], until: float, keep: bool) -> list[tuple[float, Told]]:
    done = []
    async with connection(url) as line:
        for request in waiting:
            start = time.perf_counter()
            told = await line.ask(request)
            end = time.perf_counter()
            done.append((end - start, told if keep else Told(told.status, b"")))
            if end > until:
                break
    return done


def statuses(told: Iterable[Told]) -> Counter[str]:
    """Return the statuses of the records in accepted pushes. Raises AssertionError if one was refused."""
    counted: Counter[str] = Counter()
    for one in told:
        if one.status == 200:
            answers = json.decode(one.body)["answers"]
            refused = [answer for answer in answers if answer["status"] == "refused"]
            assert not refused, refused[:3]
            counted.update(answer["status"] for answer in answers)
    return counted
