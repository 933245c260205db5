"""Sees every request go by: one line in the log and one count each, without anything that a person sent.

A request has a name, by which its line in the log, its answer and what went wrong with it are found together. A proxy
may have given it one; else it gets one here.
"""

import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from secrets import token_hex
from time import perf_counter

from litestar.enums import ScopeType
from litestar.types import ASGIApp, HTTPScope, Message, Receive, Scope, Send

from splitline.api.metrics import count_request
from splitline.logs import REQUEST

log = logging.getLogger("splitline.requests")

# What no route answers is counted together: a path is somebody's text, and there are endlessly many.
NO_ROUTE = "none"
METHODS = {"GET", "HEAD", "POST", "PUT", "OPTIONS"}
HEADER = "X-Request-ID"
# Long enough for a UUID or the number of a trace, and too short for a secret: that one is never written down.
WELL_FORMED = re.compile(rb"[A-Za-z0-9._:-]{8,60}")


def watched(app: ASGIApp) -> ASGIApp:
    """Return the application with every HTTP request measured; the rest goes through untouched."""

    async def watching(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != ScopeType.HTTP:
            await app(scope, receive, send)
            return
        with named(_name(scope)) as name:
            answer = _Answer(send, name)
            begun = perf_counter()
            try:
                await app(scope, receive, answer.send)
            finally:
                note(method_of(scope), route_of(scope), answer.status, perf_counter() - begun, answer.size)

    return watching


def method_of(scope: HTTPScope) -> str:
    """Return the method of a request if it is one that there is here."""
    return str(scope["method"]) if scope["method"] in METHODS else "other"


def route_of(scope: HTTPScope) -> str:
    """Return the route of a request, once it has been found."""
    return str(scope.get("path_template") or NO_ROUTE)


def new_name() -> str:
    """Return a name for a request."""
    return token_hex(16)


@contextmanager
def named(name: str) -> Iterator[str]:
    """Name the request that is answered within the block."""
    before = REQUEST.set(name)
    try:
        yield name
    finally:
        REQUEST.reset(before)


def _name(scope: HTTPScope) -> str:
    given = next((value for name, value in scope["headers"] if name == b"x-request-id"), b"")
    return given.decode() if WELL_FORMED.fullmatch(given) else new_name()


class _Answer:
    """Passes an answer on, and remembers its status (499 when there was none: the client went away) and size."""

    def __init__(self, send: Send, name: str) -> None:
        self._send = send
        self._header = (HEADER.lower().encode(), name.encode())
        self.status = 499
        self.size = 0

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            message["headers"] = [*message["headers"], self._header]
        elif message["type"] == "http.response.body":
            self.size += len(message["body"])
        await self._send(message)


def note(method: str, route: str, status: int, seconds: float, size: int) -> None:
    """Log and count one answered request. size: of the answer, bytes."""
    count_request(method, route, status, seconds)
    milliseconds = round(1000 * seconds, 1)
    log.info(
        f"{method} {route} {status} {milliseconds} ms {size} bytes",
        extra={"method": method, "route": route, "status": status, "milliseconds": milliseconds, "bytes": size},
    )
