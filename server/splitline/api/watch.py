"""Sees every request go by: one line in the log and one count each, without anything that a person sent."""

import logging
from time import perf_counter

from litestar.enums import ScopeType
from litestar.types import ASGIApp, HTTPScope, Message, Receive, Scope, Send

from splitline.api.metrics import count_request

log = logging.getLogger("splitline.requests")

# What no route answers is counted together: a path is somebody's text, and there are endlessly many.
NO_ROUTE = "none"
METHODS = {"GET", "HEAD", "POST", "PUT", "OPTIONS"}


def watched(app: ASGIApp) -> ASGIApp:
    """Return the application with every HTTP request measured; the rest goes through untouched."""

    async def watching(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != ScopeType.HTTP:
            await app(scope, receive, send)
            return
        answer = _Answer(send)
        begun = perf_counter()
        try:
            await app(scope, receive, answer.send)
        finally:
            _note(scope, answer, perf_counter() - begun)

    return watching


class _Answer:
    """Passes an answer on, and remembers its status (499 when there was none: the client went away) and size."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.status = 499
        self.size = 0

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
        elif message["type"] == "http.response.body":
            self.size += len(message["body"])
        await self._send(message)


def _note(scope: HTTPScope, answer: _Answer, seconds: float) -> None:
    method = str(scope["method"]) if scope["method"] in METHODS else "other"
    route = str(scope.get("path_template") or NO_ROUTE)
    count_request(method, route, answer.status, seconds)
    milliseconds = round(1000 * seconds, 1)
    log.info(
        f"{method} {route} {answer.status} {milliseconds} ms {answer.size} bytes",
        extra={
            "method": method,
            "route": route,
            "status": answer.status,
            "milliseconds": milliseconds,
            "bytes": answer.size,
        },
    )
