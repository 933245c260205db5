"""Logs and counts each request: one line and one count, without anything that a person sent.

A request has an id, which ties together its log line, its answer and any error. A proxy may have set one; otherwise it
is made here.
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

# Unrouted paths are counted together: a path is free text, and there is no end of them.
NO_ROUTE = "none"
METHODS = {"GET", "HEAD", "POST", "PUT", "OPTIONS"}
HEADER = "X-Request-ID"
# Long enough for a UUID or a trace id, too short for a secret, which must never be logged.
WELL_FORMED = re.compile(rb"[A-Za-z0-9._:-]{8,60}")


def watched(app: ASGIApp) -> ASGIApp:
    """Return the application with every HTTP request measured; anything else passes through untouched."""

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
    """Return the request's method if it is one we serve."""
    return str(scope["method"]) if scope["method"] in METHODS else "other"


def route_of(scope: HTTPScope) -> str:
    """Return the request's route, once it has been found."""
    return str(scope.get("path_template") or NO_ROUTE)


def new_name() -> str:
    """Return the id of a request."""
    return token_hex(16)


@contextmanager
def named(name: str) -> Iterator[str]:
    """Set the id of the request being answered within the block."""
    before = REQUEST.set(name)
    try:
        yield name
    finally:
        REQUEST.reset(before)


def _name(scope: HTTPScope) -> str:
    given = next((value for name, value in scope["headers"] if name == b"x-request-id"), b"")
    return given.decode() if WELL_FORMED.fullmatch(given) else new_name()


class _Answer:
    """Passes an answer on, and records its status (499 if none was sent because the client left) and size."""

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
