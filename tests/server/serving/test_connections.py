"""Connection limits: who is admitted, who is dropped first, how long each stage may take; also on real connections."""

import asyncio
import gc
import socket
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from typing import Any

import pytest
import uvicorn
from uvicorn.server import ServerState

from splitline.config import settings
from splitline.serving import connections
from splitline.serving.connections import Connections, Stage
from splitline.serving.protocol import Gate

Told = Callable[[Any, Any, Any], Awaitable[None]]


class Waiting:
    """A client connection."""

    def __init__(self, more: bool = False) -> None:
        self.stage: Stage | None = None
        self.name: str | None = None
        self.is_cut = self.is_late = False
        self._more = more

    def cut(self) -> None:
        self.is_cut = True

    def late(self) -> bool:
        self.is_late = True
        return self._more


def entered(limits: Connections, host: str, *stages: Stage) -> Waiting:
    client = Waiting()
    assert limits.enter(client, host)
    for stage in stages:
        limits.move(client, stage)
    return client


def test_the_connection_waiting_longest_for_its_client_is_closed_first() -> None:
    limits = Connections(5, 0, 10, [])
    busy = entered(limits, "192.0.2.1", Stage.BUSY)
    sending = entered(limits, "192.0.2.2", Stage.BUSY, Stage.SENDING)
    idle = entered(limits, "192.0.2.3", Stage.BUSY, Stage.IDLE)
    old = entered(limits, "192.0.2.4", Stage.BUSY, Stage.HEAD)
    young = entered(limits, "192.0.2.5")
    gone = []
    for _ in range(4):
        entered(limits, "192.0.2.6", Stage.BUSY)
        gone.append([client for client in (busy, sending, idle, old, young) if client.is_cut])
    assert gone == [[old], [old, young], [idle, old, young], [sending, idle, old, young]]
    assert not limits.enter(Waiting(), "192.0.2.7")
    assert len(limits) == 5
    limits.leave(busy)
    entered(limits, "192.0.2.7")


def test_an_address_over_its_share_loses_its_own_connections_first() -> None:
    limits = Connections(100, 2, 10, settings({"trusted_proxies": "192.0.2.0/24"}, {}).networks())
    other = entered(limits, "198.51.100.1")
    first, second = entered(limits, "2001:db8::1"), entered(limits, "2001:db8::2")
    entered(limits, "2001:db8::3", Stage.BUSY)
    assert (other.is_cut, first.is_cut, second.is_cut) == (False, True, False)
    entered(limits, "2001:db8::4", Stage.BUSY)
    assert not limits.enter(Waiting(), "2001:db8::5"), "an IPv6 /64 is one address"
    for _ in range(50):
        entered(limits, "192.0.2.1", Stage.BUSY)
    assert len(limits) == 1 + 2 + 50


def test_each_stage_has_a_time_limit() -> None:
    now = [0.0]
    limits = Connections(100, 0, 10, [], lambda: now[0])
    clients = {stage: entered(limits, "192.0.2.1", stage) for stage in Stage}
    late = {}
    for second in range(200):
        now[0] = float(second)
        limits.sweep()
        for stage, client in clients.items():
            if client.is_late and stage not in late:
                late[stage] = second
    assert late == {Stage.HEAD: 10, Stage.REST: 30, Stage.SENDING: 60, Stage.IDLE: 60}


def test_a_client_given_more_time_is_checked_again_after_it() -> None:
    now, asked = [0.0], []
    limits, client = Connections(100, 0, 10, [], lambda: now[0]), Waiting(more=True)
    limits.enter(client, "192.0.2.1")
    for second in range(35):
        now[0] = float(second)
        limits.sweep()
        if client.is_late:
            asked.append(second)
            client.is_late = False
    assert asked == [10, 20, 30]


def test_closed_connections_leave_no_state() -> None:
    limits = Connections(100, 5, 10, [])
    for number in range(1000):
        limits.leave(entered(limits, f"192.0.2.{number % 250}"))
    gc.collect()
    assert len(limits) == 0
    assert not [one for one in gc.get_objects() if isinstance(one, Waiting)]
    assert limits._by_name == {}


@asynccontextmanager
async def listening(app: Told) -> AsyncIterator[int]:
    """Serve an application behind the gate in this process; yield its port."""
    gate, state = Gate(settings({}, {})), ServerState()
    config = uvicorn.Config(app, http=gate, ws="none", log_config=None)  # type: ignore[arg-type]
    config.load()
    server = await asyncio.get_running_loop().create_server(
        lambda: gate(config=config, server_state=state, app_state={}), "127.0.0.1", 0
    )
    try:
        yield server.sockets[0].getsockname()[1]
    finally:
        server.close()


async def large(_scope: Any, _receive: Any, send: Any) -> None:
    await send({"type": "http.response.start", "status": 200, "headers": []})
    for _ in range(400):
        await send({"type": "http.response.body", "body": bytes(50_000), "more_body": True})
    await send({"type": "http.response.body", "body": b""})


async def refusing(_scope: Any, _receive: Any, send: Any) -> None:
    await send({"type": "http.response.start", "status": 401, "headers": [(b"content-length", b"0")]})
    await send({"type": "http.response.body", "body": b""})


async def connected(port: int, request: str) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    """Send a request with a small receive buffer, so the answer backs up unless it is read."""
    connection = socket.socket()
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 50_000)
    connection.setblocking(False)
    await asyncio.get_running_loop().sock_connect(connection, ("127.0.0.1", port))
    reader, writer = await asyncio.open_connection(sock=connection, limit=1000)
    writer.write(f"{request} / HTTP/1.1\r\nHost: x\r\n".encode())
    return reader, writer


async def test_a_stalled_reader_is_cut_off_and_a_slow_one_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(connections.SECONDS, Stage.SENDING, 1.0)
    async with listening(large) as port:
        slow, slow_out = await connected(port, "GET")
        dead, dead_out = await connected(port, "GET")
        for out in (slow_out, dead_out):
            out.write(b"Connection: close\r\n\r\n")
        taken = 0
        for _ in range(40):  # about 4 s
            taken += len(await slow.read(50_000))
            await asyncio.sleep(0.1)
        assert taken < 3_000_000
        assert taken + len(await slow.read()) > 20_000_000
        # What the system has buffered still arrives, then the connection ends.
        assert len(await dead.read()) < 10_000_000


async def test_an_unwanted_body_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(connections.SECONDS, Stage.REST, 1.0)

    async def endlessly(writer: asyncio.StreamWriter) -> None:
        while True:
            writer.write(b"a")
            await writer.drain()
            await asyncio.sleep(0.05)

    async with listening(refusing) as port:
        reader, writer = await connected(port, "POST")
        writer.write(b"Content-Length: 1000000\r\n\r\n")
        assert (await reader.readuntil(b"\r\n\r\n")).startswith(b"HTTP/1.1 401")
        begun = asyncio.get_running_loop().time()
        with pytest.raises(ConnectionError):
            await endlessly(writer)
        assert 0.5 < asyncio.get_running_loop().time() - begun < 10
        # A body that ends in time leaves the connection open.
        reader, writer = await connected(port, "POST")
        for _ in range(3):
            writer.write(b"Content-Length: 5\r\n\r\n")
            await reader.readuntil(b"\r\n\r\n")
            writer.write(b"aaaaa")
            await asyncio.sleep(0.6)
            writer.write(b"POST / HTTP/1.1\r\nHost: x\r\n")
