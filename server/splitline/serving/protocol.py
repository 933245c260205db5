"""HTTP/1.1 on one connection: uvicorn's protocol, with limits on everything that a client can drag out.

uvicorn's fast parser has no limit on the size or time of headers, and uvicorn none on connections per address; its TLS
handshake may take a minute and happens before any protocol sees the connection. So the handshake is done here too, and
counts like headers.
"""

import asyncio
import fcntl
import ssl
import sys
import termios
from contextlib import suppress
from functools import cached_property
from typing import Any, cast

import httptools
from msgspec import json
from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol
from uvicorn.protocols.utils import get_local_addr, get_remote_addr

from splitline.api import headers, metrics, problems, watch
from splitline.config import Settings
from splitline.errors import Problem, SplitlineError
from splitline.serving.connections import MOST, OPERATIONS, Connections, Stage

PIECE = 4096
"""Bytes processed at a time: headers are refused at most twice this many bytes past their limit."""
SWEEP = 0.5
"""Seconds."""


class HeadRefused(SplitlineError):
    """Headers over the limit or malformed."""

    def __init__(self, status: int, problem: Problem) -> None:
        self.status, self.problem = status, problem
        super().__init__(problem.code)


class Gate:
    """State shared by the connections of a process. It is created before the worker process."""

    def __init__(self, chosen: Settings) -> None:
        """chosen: with the actual operations address, after binding."""
        self.chosen = chosen
        seconds, proxies = chosen.header_seconds, chosen.networks()
        self.public = Connections(MOST, chosen.connections_per_address, seconds, proxies)
        # A limit of its own, so that an attack on the public address leaves these free.
        self.operations = Connections(OPERATIONS, 0, seconds, [])
        self._sweeping = False

    def __call__(self, **known: Any) -> "Guarded":
        """Return the protocol for a new connection, as uvicorn asks for it."""
        if not self._sweeping:
            self._sweeping = True
            self._sweep(asyncio.get_running_loop())
        return Guarded(self, **known)

    @cached_property
    def tls(self) -> ssl.SSLContext | None:
        """TLS context if the server itself does TLS, not for operations. Raises OSError, also as ssl.SSLError."""
        chosen = self.chosen
        if not (chosen.tls_cert and chosen.tls_key):
            return None
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        # Fail instead of asking for a password on the terminal: a server must start unattended.
        context.load_cert_chain(chosen.tls_cert, chosen.tls_key, lambda: "")
        return context

    def _sweep(self, loop: asyncio.AbstractEventLoop) -> None:
        self.public.sweep()
        self.operations.sweep()
        loop.call_later(SWEEP, self._sweep, loop)


class Guarded(HttpToolsProtocol):
    """One connection."""

    def __init__(self, gate: Gate, **known: Any) -> None:
        super().__init__(**known)
        self._gate = gate
        self._connections = gate.public
        self._wire: asyncio.Transport | None = None
        self._handshake: asyncio.Task[None] | None = None
        self.stage: Stage | None = None
        self.name: str | None = None
        self._early = b""
        self._size = self._left = 0
        self._moved = self._in_head = self._in_message = self._refused = False

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Admit the client, or close; with TLS the handshake comes first."""
        self._wire = wire = cast(asyncio.Transport, transport)
        own, other = get_local_addr(wire), get_remote_addr(wire)
        is_operations = own is not None and self._gate.chosen.is_operations(*own)
        self._connections = self._gate.operations if is_operations else self._gate.public
        if not self._connections.enter(self, other[0] if other else ""):
            metrics.count_cut("no room")
            wire.abort()
        elif self._gate.tls and not is_operations:
            # Order matters: first TLS starts reading, then it gets the bytes read before that.
            self._handshake = self.loop.create_task(self._secure(wire, self._gate.tls))
            self.loop.call_soon(self.loop.call_soon, self._hand_over, wire)
        else:
            super().connection_made(wire)

    def _hand_over(self, wire: asyncio.Transport) -> None:
        """Give the handshake the bytes that arrived before it began."""
        early, self._early = self._early, b""
        reader: Any = wire.get_protocol()  # a BufferedProtocol, though uvloop's type does not say so
        while early and reader is not self and not wire.is_closing():
            room = memoryview(reader.get_buffer(len(early)))[: len(early)]
            room[:] = early[: len(room)]
            early = early[len(room) :]
            reader.buffer_updated(len(room))

    async def _secure(self, wire: asyncio.Transport, context: ssl.SSLContext) -> None:
        """Complete the handshake before anything else."""
        seconds = self._gate.chosen.header_seconds
        try:
            secured = await self.loop.start_tls(
                wire, self, context, server_side=True, ssl_handshake_timeout=seconds, ssl_shutdown_timeout=seconds
            )
        except OSError:  # failed handshakes, and connections that end during one
            secured = None
        if secured is None or wire.is_closing():
            self._connections.leave(self)
            wire.abort()
            return
        self._connections.move(self, Stage.HEAD)
        super().connection_made(secured)
        self._read_early()

    def connection_lost(self, exc: Exception | None) -> None:
        """Give up the slot."""
        self._connections.leave(self)
        if self.flow is not None:
            super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Read on in pieces, so that headers can be refused before all of them are in memory."""
        if self.flow is None or self.pipeline:  # bytes sent outside the handshake, or after requests that still wait
            self._early += data
            return
        if self._refused:
            return
        self._unset_keepalive_if_required()
        if self.stage is Stage.IDLE:
            self._connections.move(self, Stage.HEAD)
        try:
            for start in range(0, len(data), PIECE):
                if self.pipeline:
                    self._early = data[start:]
                    return
                if not self._refused and not self.transport.is_closing():
                    self._read(data[start : start + PIECE])
        except httptools.HttpParserUpgrade:
            pass  # an upgrade to a protocol that we do not speak
        except httptools.HttpParserError as fault:
            known = fault.__context__ if isinstance(fault.__context__, HeadRefused) else fault
            self._refuse(known if isinstance(known, HeadRefused) else HeadRefused(400, Problem("bad_request")))

    def _read_early(self) -> None:
        """Read what arrived too early."""
        early, self._early = self._early, b""
        if early:
            self.data_received(early)

    def _read(self, piece: bytes) -> None:
        """Count as headers all bytes that do not advance a request: trailers too, and what else the parser buffers."""
        self._moved = False
        self.parser.feed_data(piece)
        self._size = 0 if self._moved else self._size + len(piece)
        if self._size > self._gate.chosen.header_bytes:
            self._refuse(HeadRefused(431, Problem("header_large", limit=str(self._gate.chosen.header_bytes))))

    def on_message_begin(self) -> None:
        """Begin a request."""
        self._moved = self._in_head = self._in_message = True
        super().on_message_begin()

    def on_headers_complete(self) -> None:
        """Pass on a request with valid headers. Raises `HeadRefused`: RFC 9112, 3.2, requires exactly one Host."""
        hosts = sum(name == b"host" for name, _ in self.headers)
        if hosts > 1 or (hosts == 0 and self.parser.get_http_version() == "1.1"):
            raise HeadRefused(400, Problem("host_count", "Host", str(hosts)))
        self._moved, self._in_head = True, False
        self._connections.move(self, Stage.BUSY)
        super().on_headers_complete()

    def on_body(self, body: bytes) -> None:
        """Take a part of a body."""
        self._moved = True
        super().on_body(body)

    def on_message_complete(self) -> None:
        """End a request."""
        self._moved, self._in_message = True, False
        if self.stage is Stage.REST:
            self._connections.move(self, Stage.IDLE)
        super().on_message_complete()

    def on_response_complete(self) -> None:
        """Wait for the next request."""
        super().on_response_complete()
        if self.transport.is_closing():
            self._connections.move(self, Stage.SENDING)
        elif self.cycle.response_complete:  # otherwise the next request has already arrived
            unfinished = Stage.HEAD if self._in_head else Stage.REST
            self._connections.move(self, unfinished if self._in_message else Stage.IDLE)
        if not self.pipeline:
            self._read_early()

    def pause_writing(self) -> None:
        """The client reads too slowly: pause."""
        super().pause_writing()
        if self.stage is Stage.BUSY:
            self._connections.move(self, Stage.SENDING)

    def resume_writing(self) -> None:
        """The client has caught up: resume."""
        super().resume_writing()
        if self.stage is Stage.SENDING and not self.transport.is_closing():
            self._connections.move(self, Stage.BUSY)

    def cut(self) -> None:
        """Disconnect at once to free the slot."""
        metrics.count_cut("for another")
        self._abort()

    def late(self) -> bool:
        """Disconnect on a timeout; a client that reads slowly gets more time as long as it reads something."""
        left = unsent(self._wire) if self._wire else 0
        if left and left != self._left:
            self._left = left
            return True
        metrics.count_cut("late")
        if self._in_head and self.stage is Stage.HEAD:
            seconds = str(self._gate.chosen.header_seconds)
            self._refuse(HeadRefused(408, Problem("header_slow", limit=seconds)))
        else:
            self._abort()
        return False

    def _abort(self) -> None:
        if self._wire:
            self._wire.abort()

    def _refuse(self, fault: HeadRefused) -> None:
        """Answer a malformed request, unless its answer has begun or an earlier one is still due."""
        reading = self.cycle is not None and self.cycle.more_body and not self.cycle.response_started
        if self.stage is not Stage.HEAD and not reading:
            self._abort()
            return
        with watch.named(watch.new_name()) as name:
            body = json.encode(problems.document(fault.status, [fault.problem]))
            watch.note(watch.NO_ROUTE, watch.NO_ROUTE, fault.status, 0.0, len(body))
        lines = {**headers.SECURITY, "Content-Type": problems.MEDIA_TYPE, "Content-Length": str(len(body))}
        lines |= {"Cache-Control": "no-store", "Connection": "close", watch.HEADER: name}
        date = b"".join(b"%s: %s\r\n" % one for one in self.server_state.default_headers)
        head = "".join(f"{name}: {value}\r\n" for name, value in lines.items()).encode()
        self.transport.write(STATUS_LINE[fault.status] + date + head + b"\r\n" + body)
        self._let_go()

    def _let_go(self) -> None:
        """Ignore further input but let the client finish sending: if we closed now, it might never read the answer."""
        self._refused = True
        if self.cycle is not None:
            self.cycle.disconnected = True
            self.cycle.message_event.set()
            self.cycle = None  # type: ignore[assignment]  # as before the first request
        if self.transport.can_write_eof():
            self.transport.write_eof()
        self._connections.move(self, Stage.REST)


def unsent(wire: asyncio.Transport) -> int:
    """Return the unsent bytes, including those in the system's buffer where it can tell."""
    waiting = wire.get_write_buffer_size()
    with suppress(OSError, ValueError):  # a system that cannot tell, or a connection that has just ended
        file = wire.get_extra_info("socket").fileno()
        waiting += int.from_bytes(fcntl.ioctl(file, termios.TIOCOUTQ, bytes(4)), sys.byteorder)
    return waiting
