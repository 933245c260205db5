"""A proxy between a phone and a real server: it can be dead, cut an answer short, or change one."""

import http.client
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from msgspec import json

PATIENCE = 120
TYPES = {".js": "text/javascript", ".css": "text/css", ".html": "text/html", ".svg": "image/svg+xml"}
# Headers that the proxy sets itself.
BY_HOP = {"connection", "transfer-encoding", "content-length", "date", "server"}
NOT_ON = BY_HOP | {"host", "accept-encoding"}


@dataclass
class Passing:
    """One request with its answer, as the phone gets it. cut: bytes of the body after which the connection breaks."""

    method: str
    path: str
    sent: bytes
    status: int
    headers: dict[str, str]
    body: bytes
    cut: int | None = None

    def records(self) -> list[dict[str, Any]]:
        """Return the records of a push."""
        return list(json.decode(self.sent)["records"])

    def answer(self) -> Any:
        """Return the decoded answer."""
        return json.decode(self.body)

    def say(self, answer: Any, status: int = 200) -> None:
        """Replace the answer."""
        self.status, self.body = status, json.encode(answer)


@dataclass
class Middleman:
    """What the proxy does; a test can change it at any time."""

    server: str
    # No answer at all.
    away: bool = False
    # Called with every request and answer, to change it.
    change: Callable[[Passing], None] = lambda _: None
    # Another build of the app, served in place of the server's.
    app: Path | None = None
    passed: list[Passing] = field(default_factory=list)
    url: str = ""

    def of(self, method: str, start: str) -> list[Passing]:
        """Return the requests of one kind so far, oldest first."""
        return [one for one in list(self.passed) if one.method == method and one.path.startswith(start)]

    def pushes(self) -> list[Passing]:
        """Return the batches that the server has received."""
        return self.of("POST", "/api/v1/push")

    def fetch(self, method: str, path: str, headers: dict[str, str], sent: bytes) -> Passing:
        """Forward a request to the server."""
        to = urlsplit(self.server)
        line = http.client.HTTPConnection(to.hostname or "", to.port, timeout=PATIENCE)
        try:
            line.request(method, path, sent or None, headers)
            answer = line.getresponse()
            kept = {name: value for name, value in answer.getheaders() if name.lower() not in BY_HOP}
            return Passing(method, path, sent, answer.status, kept, answer.read())
        finally:
            line.close()

    def dress(self, passing: Passing) -> None:
        """Serve the other build's file with the server's headers."""
        name = urlsplit(passing.path).path.lstrip("/") or "index.html"
        file = self.app / name if self.app else None
        if file is None or passing.method != "GET" or not file.is_file():
            return
        passing.status, passing.body = 200, file.read_bytes()
        kind = TYPES.get(file.suffix, "application/octet-stream")
        passing.headers = {name: value for name, value in passing.headers.items() if name.lower() != "etag"}
        passing.headers |= {"content-type": kind, "cache-control": "no-cache"}


def handler(line: Middleman) -> type[BaseHTTPRequestHandler]:
    """Return the request handler class of this proxy."""

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def work(self) -> None:
            sent = self.rfile.read(int(self.headers.get("content-length") or 0))
            self.close_connection = True
            if line.away:
                return
            headers = {name: value for name, value in self.headers.items() if name.lower() not in NOT_ON}
            headers["accept-encoding"] = "identity"
            if line.app:
                headers = {name: value for name, value in headers.items() if name.lower() != "if-none-match"}
            passing = line.fetch(self.command, self.path, headers, sent)
            line.dress(passing)
            line.change(passing)
            line.passed.append(passing)
            self.send_response(passing.status)
            for name, value in passing.headers.items():
                self.send_header(name, value)
            self.send_header("content-length", str(len(passing.body)))
            self.send_header("connection", "close")
            self.end_headers()
            self.wfile.write(passing.body[: passing.cut])

        do_GET = do_POST = do_PUT = work  # noqa: N815

        def log_message(self, *_: Any) -> None:
            """Log nothing."""

    return Handler


@contextmanager
def between(server: str) -> Iterator[Middleman]:
    """Run a proxy to a server until the end of the block."""
    line = Middleman(server)
    with ThreadingHTTPServer(("127.0.0.1", 0), handler(line)) as listening:
        listening.daemon_threads = True
        line.url = f"http://127.0.0.1:{listening.server_address[1]}"
        thread = threading.Thread(target=listening.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
        thread.start()
        yield line
        listening.shutdown()
