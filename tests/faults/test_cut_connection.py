"""The connection is cut during a request and during an answer."""

import asyncio
import socket
import struct
from urllib.parse import urlsplit

from msgspec import json

from faults.conftest import Place, Tell
from faults.counting import counted, pulled
from faults.phones import Batch, all_send, phones, records
from helpers.api_client import headers
from helpers.server_process import served


def request(url: str, batch: Batch) -> bytes:
    body = json.encode({"records": batch})
    lines = [f"{name}: {value}" for name, value in headers(1).items()]
    head = ["POST /api/v1/push HTTP/1.1", f"Host: {urlsplit(url).netloc}", *lines, f"Content-Length: {len(body)}"]
    return "\r\n".join(head).encode() + b"\r\n\r\n" + body


def send_and_cut(url: str, message: bytes, answer_bytes: int = 0) -> bytes:
    """Send some bytes, read part of the answer, and reset the connection as a lost signal would."""
    where = urlsplit(url)
    assert where.hostname
    assert where.port
    with socket.create_connection((where.hostname, where.port), timeout=60) as line:
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        line.sendall(message)
        got = b""
        while len(got) < answer_bytes:
            got += line.recv(answer_bytes - len(got))
        return got


async def test_a_cut_connection_loses_and_doubles_nothing(place: Place, tell: Tell) -> None:
    """Nothing of half a request is stored; a whole request is stored even if its answer is lost."""
    [phone] = phones(people=1, batches=24, size=4)
    halves, answers = phone.batches[:12], phone.batches[12:]
    source, halves[0] = halves[0][:1], halves[0][1:]
    with served(place.folder, *place.options) as server:
        assert send_and_cut(server.url, request(server.url, source), 12) == b"HTTP/1.1 200"
        for index, batch in enumerate(halves):
            whole = request(server.url, batch)
            send_and_cut(server.url, whole[: len(whole) * (index + 1) // (len(halves) + 1)])
        for index, batch in enumerate(answers):
            send_and_cut(server.url, request(server.url, batch), 1 + 25 * index)
        there = {change["id"] for change in pulled(server.url)}
        assert there == {record["id"] for batch in (source, *answers) for record in batch}
        phone.batches = [source, *halves, *answers]
        await all_send([phone], lambda: server.url)
        assert phone.statuses.count("known") == 1 + 4 * len(answers)
        found = await asyncio.to_thread(counted, server.url, records([phone]))
        tell("connection cut in request and answer", place.engine, found)
        assert "Traceback" not in server.errors.read_text()
