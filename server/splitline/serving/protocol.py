"""HTTP/1.1 on one connection: uvicorn's protocol, with an end to everything that a client can draw out.

uvicorn has no limit for headers with its fast parser, nor a time for them, nor connections by address; its handshakes
of TLS take a minute, unseen by any protocol. So the handshake is done here, too, and counts like headers.
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
"""Bytes that are looked at together: headers are refused at most twice so many bytes after their limit."""
SWEEP = 0.5
"""Seconds."""


class HeadRefused(SplitlineError):
    """Headers that are read no further."""

    def __init__(self, status: int, problem: Problem) -> None:
        self.status, self.problem = status, problem
        super().__init__(problem.code)


class Gate:
    """What the connections of a process share. It is made before the process that uses it."""

    def __init__(self, chosen: Settings) -> None:
        """chosen: with the address for operations as it is, not as it was asked for."""
        self.chosen = chosen
        seconds, proxies = chosen.header_seconds, chosen.networks()
        self.public = Connections(MOST, chosen.connections_per_address, seconds, proxies)
        # An attack on the public address takes none of its places.
        self.operations = Connections(OPERATIONS, 0, seconds, [])
        self._sweeping = False

    def __call__(self, **known: Any) -> "Guarded":
        """Return the protocol of a new connection, as uvicorn asks for it."""
        if not self._sweeping:
            self._sweeping = True
            self._sweep(asyncio.get_running_loop())
        return Guarded(self, **known)

    @cached_property
    def tls(self) -> ssl.SSLContext | None:
        """With what the server itself does TLS, though not for operations. Raises OSError, also as ssl.SSLError."""
        chosen = self.chosen
        if not (chosen.tls_cert and chosen.tls_key):
            return None
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        # Instead of asking a terminal that nobody sits at for a password: a server has to start by itself.
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
        """Let the client in, or not; with TLS its handshake comes first."""
        self._wire = wire = cast(asyncio.Transport, transport)
        own, other = get_local_addr(wire), get_remote_addr(wire)
        is_operations = own is not None and self._gate.chosen.is_operations(*own)
        self._connections = self._gate.operations if is_operations else self._gate.public
        if not self._connections.enter(self, other[0] if other else ""):
            metrics.count_cut("no room")
            wire.abort()
        elif self._gate.tls and not is_operations:
            # The first step of the one lets TLS read from here on; the other adds, before any more is read, what has
            # been read by then.
            self._handshake = self.loop.create_task(self._secure(wire, self._gate.tls))
            self.loop.call_soon(self.loop.call_soon, self._hand_over, wire)
        else:
            super().connection_made(wire)

    def _hand_over(self, wire: asyncio.Transport) -> None:
        """Give the handshake what came before it began."""
        early, self._early = self._early, b""
        reader: Any = wire.get_protocol()  # a BufferedProtocol, though uvloop's does not say so
        while early and reader is not self and not wire.is_closing():
            room = memoryview(reader.get_buffer(len(early)))[: len(early)]
            room[:] = early[: len(room)]
            early = early[len(room) :]
            reader.buffer_updated(len(room))

    async def _secure(self, wire: asyncio.Transport, context: ssl.SSLContext) -> None:
        """Do the handshake, and only then anything else."""
        seconds = self._gate.chosen.header_seconds
        try:
            secured = await self.loop.start_tls(
                wire, self, context, server_side=True, ssl_handshake_timeout=seconds, ssl_shutdown_timeout=seconds
            )
        except OSError:  # what is wrong with a handshake, and a connection that ends in it
            secured = None
        if secured is None or wire.is_closing():
            self._connections.leave(self)
            wire.abort()
            return
        self._connections.move(self, Stage.HEAD)
        super().connection_made(secured)
        self._read_early()

    def connection_lost(self, exc: Exception | None) -> None:
        """Make room."""
        self._connections.leave(self)
        if self.flow is not None:
            super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Read on, in pieces, so that headers can be refused before they are all in memory."""
        if self.flow is None or self.pipeline:  # it came around the handshake, or behind requests that still wait
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
            pass  # to what nobody speaks here
        except httptools.HttpParserError as fault:
            known = fault.__context__ if isinstance(fault.__context__, HeadRefused) else fault
            self._refuse(known if isinstance(known, HeadRefused) else HeadRefused(400, Problem("bad_request")))

    def _read_early(self) -> None:
        """Read what came too early."""
        early, self._early = self._early, b""
        if early:
            self.data_received(early)

    def _read(self, piece: bytes) -> None:
        """What brings a request no further counts as headers: trailers, too, and what else a parser keeps."""
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
        """Hand a request on whose headers are in order. Raises `HeadRefused`: RFC 9112, 3.2, wants one Host."""
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
        """Wait for what comes next."""
        super().on_response_complete()
        if self.transport.is_closing():
            self._connections.move(self, Stage.SENDING)
        elif self.cycle.response_complete:  # else the next one was here already
            unfinished = Stage.HEAD if self._in_head else Stage.REST
            self._connections.move(self, unfinished if self._in_message else Stage.IDLE)
        if not self.pipeline:
            self._read_early()

    def pause_writing(self) -> None:
        """Hear that the client does not keep up."""
        super().pause_writing()
        if self.stage is Stage.BUSY:
            self._connections.move(self, Stage.SENDING)

    def resume_writing(self) -> None:
        """Hear that it does again."""
        super().resume_writing()
        if self.stage is Stage.SENDING and not self.transport.is_closing():
            self._connections.move(self, Stage.BUSY)

    def cut(self) -> None:
        """End this at once, for somebody else's sake."""
        metrics.count_cut("for another")
        self._abort()

    def late(self) -> bool:
        """End what takes too long; whoever takes an answer slowly has time as long as some of it goes out."""
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
        """Answer what cannot be read, unless its answer has begun or another one is due before it."""
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
        """Pay no more heed to the client, but let it finish: if we hung up on what it sends, it could not hear us."""
        self._refused = True
        if self.cycle is not None:
            self.cycle.disconnected = True
            self.cycle.message_event.set()
            self.cycle = None  # type: ignore[assignment]  # as before the first request
        if self.transport.can_write_eof():
            self.transport.write_eof()
        self._connections.move(self, Stage.REST)


def unsent(wire: asyncio.Transport) -> int:
    """Return the bytes that the other end has not taken yet, with those that wait in the system where it tells."""
    waiting = wire.get_write_buffer_size()
    with suppress(OSError, ValueError):  # a system that does not tell; a connection that has just ended
        file = wire.get_extra_info("socket").fileno()
        waiting += int.from_bytes(fcntl.ioctl(file, termios.TIOCOUTQ, bytes(4)), sys.byteorder)
    return waiting
