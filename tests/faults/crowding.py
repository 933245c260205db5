"""A flood of connections that start something and stop there, from an address of this machine."""

import socket
import ssl
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

from helpers.server_process import Served

UNFINISHED = b"GET /healthz HTTP/1.1\r\nHost: x\r\n"
ATTACKER = "127.0.0.2"
"""Another address of the same machine: all of 127.0.0.0/8 is."""


def place(server: Served) -> tuple[str, int]:
    """Where a server listens."""
    address = urlsplit(server.url)
    return str(address.hostname), int(address.port or 0)


def opened(where: tuple[str, int], begins: bytes, source: str = "127.0.0.1") -> socket.socket:
    """Connect from an address and send the start of something."""
    connection = socket.create_connection(where, timeout=20, source_address=(source, 0))
    with suppress(ConnectionError):  # it may have been disconnected at once
        connection.sendall(begins)
    return connection


@contextmanager
def crowd(where: tuple[str, int], count: int, source: str, begins: bytes = UNFINISHED) -> Iterator[list[socket.socket]]:
    """Hold this many idle connections open until the end of the block."""
    connections = [opened(where, begins, source) for _ in range(count)]
    try:
        yield connections
    finally:
        for connection in connections:
            connection.close()


def still_open(connections: list[socket.socket]) -> int:
    """How many of the connections the server has not closed."""
    return sum(is_open(connection) for connection in connections)


def is_open(connection: socket.socket) -> bool:
    """Whether the other end has neither closed a connection nor sent anything."""
    connection.setblocking(False)
    try:
        return bool(connection.recv(1))
    except BlockingIOError:
        return True
    except OSError:
        return False


def answer(connection: socket.socket, seconds: float = 20) -> bytes:
    """Everything received until the other end closes or resets the connection."""
    connection.settimeout(seconds)
    parts = []
    with suppress(ConnectionError):
        while part := connection.recv(65536):
            parts.append(part)
    return b"".join(parts)


def memory(server: Served) -> int:
    """A server's peak memory so far, kB."""
    lines = Path(f"/proc/{server.process.pid}/status").read_text().splitlines()
    return int(next(line for line in lines if line.startswith("VmHWM")).split()[1])


def first_client_hello() -> bytes:
    """The first message of a TLS handshake."""
    incoming, outgoing = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = ssl.create_default_context().wrap_bio(incoming, outgoing, server_hostname="localhost")
    with suppress(ssl.SSLWantReadError):
        client.do_handshake()
    return outgoing.read()


def until(seconds: float) -> Iterator[float]:
    """Wait for a condition, checking ten times a second; return the seconds."""
    begun = time.monotonic()
    while (passed := time.monotonic() - begun) < seconds:
        yield passed
        time.sleep(0.1)
