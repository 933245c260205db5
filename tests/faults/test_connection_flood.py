"""Attackers hold connections open, send endless headers or drip bytes: others are served, in bounded memory."""

import resource
import ssl
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import httpx
import pytest
import trustme

from faults.crowding import ATTACKER, answer, crowd, first_client_hello, memory, opened, place, still_open, until
from helpers.api_client import headers
from helpers.examples import source
from helpers.server_process import Served, served
from helpers.system import free_port

LONG = 60
"""Seconds without an answer that count as shut out; a busy machine answers slowly."""
CROWD = 1100
FILES = 1024
"""A common limit of open files for a process."""
NONE_TRUSTED = ("--trusted-proxies", "none")
NO_LIMIT = (*NONE_TRUSTED, "--connections-per-address", "0")
GET = "GET /healthz HTTP/1.1\r\nHost: x\r\n{}\r\n\r\n"


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server for tests that only ask it something."""
    with served(tmp_path_factory.mktemp("shared")) as server:
        yield server


@pytest.fixture(scope="module")
def measured(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, int]]:
    """A server for all endless headers, and its peak memory before them, kB: they share the amount allowed."""
    with served(tmp_path_factory.mktemp("measured"), anew=True) as server:
        few_files(server)
        yield server, memory(server)


def few_files(server: Served) -> None:
    """Wait until the server answers, then limit its open files as a strict system would."""
    httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
    resource.prlimit(server.process.pid, resource.RLIMIT_NOFILE, (FILES, FILES))


def asked(url: str, verify: ssl.SSLContext | bool = False) -> float:
    """Make a request on a new connection, as an honest phone does; return the seconds."""
    begun = time.monotonic()
    assert httpx.get(url, timeout=LONG, verify=verify).status_code == 200
    return time.monotonic() - begun


@pytest.mark.parametrize("options", [NONE_TRUSTED, NO_LIMIT, ()], ids=["by address", "without", "behind a proxy"])
def test_an_honest_phone_is_served_during_a_flood(tmp_path: Path, options: tuple[str, ...]) -> None:
    operations = f"127.0.0.1:{free_port()}"
    attacker = ATTACKER if options else "127.0.0.1"
    with served(tmp_path, *options, "--operations", operations) as server:
        few_files(server)
        before = memory(server)
        with crowd(place(server), CROWD, attacker) as connections:
            took = [asked(f"{server.url}/api/v1/regions") for _ in range(20)]
            looked = [asked(f"http://{operations}{path}") for path in ("/livez", "/readyz", "/healthz", "/metrics")]
            left = still_open(connections)
        assert max(took + looked) < LONG
        assert left == 100 if options == NONE_TRUSTED else 500 < left < FILES
        assert memory(server) - before < 40_000
        assert "Too many open files" not in server.errors.read_text()


def test_an_honest_phone_is_served_at_the_attackers_address(tmp_path: Path) -> None:
    """Many phones share an address in a mobile network; there too, silent connections are dropped first."""
    with (
        served(tmp_path, *NONE_TRUSTED, "--connections-per-address", "10") as server,
        crowd(place(server), 50, ATTACKER) as connections,
    ):
        request = GET.format("Connection: close").encode()
        assert answer(opened(place(server), request, ATTACKER)).startswith(b"HTTP/1.1 200")
        assert still_open(connections) == 9


def test_connections_being_served_are_not_dropped(tmp_path: Path) -> None:
    body = b'{"records": []}'
    lines = "".join(f"{name}: {value}\r\n" for name, value in {**headers(), "Expect": "100-continue"}.items())
    head = f"POST /api/v1/push HTTP/1.1\r\nHost: x\r\nConnection: close\r\n{lines}Content-Length: {len(body)}\r\n\r\n"
    with (
        served(tmp_path, *NONE_TRUSTED, "--connections-per-address", "10") as server,
        crowd(place(server), 10, "127.0.0.1", head.encode()) as pushing,
    ):
        assert {connection.recv(100) for connection in pushing} == {b"HTTP/1.1 100 Continue\r\n\r\n"}
        assert answer(opened(place(server), head.encode())) == b""
        for connection in pushing:
            connection.sendall(body)
            assert answer(connection).startswith(b"HTTP/1.1 200")
        assert asked(f"{server.url}/healthz") < LONG


def test_unfinished_handshakes_block_nobody(tmp_path: Path) -> None:
    authority = trustme.CA()
    certificate = authority.issue_cert("127.0.0.1")
    certificate.cert_chain_pems[0].write_to_path(tmp_path / "chain.pem")
    certificate.private_key_pem.write_to_path(tmp_path / "key.pem")
    context = ssl.create_default_context()
    authority.configure_trust(context)
    operations = f"127.0.0.1:{free_port()}"
    files = ("--tls-cert", str(tmp_path / "chain.pem"), "--tls-key", str(tmp_path / "key.pem"))
    with served(tmp_path, *files, *NO_LIMIT, "--header-seconds", "5", "--operations", operations) as server:
        asked(f"{server.url}/healthz", context)
        resource.prlimit(server.process.pid, resource.RLIMIT_NOFILE, (FILES, FILES))
        hello = first_client_hello()
        for begins in (b"", hello[:40], hello):
            with crowd(place(server), CROWD, ATTACKER, begins) as connections:
                assert max(asked(f"{server.url}/healthz", context) for _ in range(5)) < LONG
                # The operations address has no TLS.
                assert asked(f"http://{operations}/livez") < LONG
                if begins == b"":
                    assert any(still_open(connections) == 0 for _ in until(20)), "a handshake has a time limit too"
        assert "Traceback" not in server.errors.read_text()


@pytest.mark.parametrize(
    "begins",
    [
        b"GET /healthz HTTP/1.1\r\nHost: x\r\nA: ",
        b"GET /",
        b"GET /healthz HTTP/1.1\r\nHost: x\r\n" + b"A: b\r\n" * 1000,
        b"POST /nothing HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n1\r\nx\r\n0\r\nA: ",
        b"\r\n" * 1000,
    ],
    ids=["one value", "a path", "many headers", "a trailer", "empty lines"],
)
def test_endless_headers_are_refused_in_bounded_memory(measured: tuple[Served, int], begins: bytes) -> None:
    more = b"\r\n" * 8192 if begins.isspace() else b"A: b\r\n" * 2730 if begins.endswith(b"\n") else b"a" * 16384
    server, before = measured
    with opened(place(server), begins) as connection:
        connection.settimeout(60)
        with suppress(ConnectionError):
            for _ in range(8192):
                connection.sendall(more)
        said = answer(connection, 60)
    if b"chunked" not in begins:  # this one has already been answered
        assert said.startswith(b"HTTP/1.1 431 ")
        assert b'"code":"header_large"' in said
    assert memory(server) - before < 10_000
    assert asked(f"{server.url}/healthz") < LONG


@pytest.mark.parametrize(("size", "status"), [(15_000, b"200"), (26_000, b"431")])
def test_headers_up_to_the_limit_are_accepted(shared: Served, size: int, status: bytes) -> None:
    request = with_header(size)
    for pieces in (1, 10):
        with opened(place(shared), b"") as connection:
            for start in range(0, len(request), len(request) // pieces + 1):
                connection.sendall(request[start : start + len(request) // pieces + 1])
            assert answer(connection)[9:12] == status


def test_the_limit_of_headers_can_be_raised(tmp_path: Path) -> None:
    with served(tmp_path, "--header-bytes", "65536") as server:
        for size in (15_000, 26_000):
            with opened(place(server), with_header(size)) as connection:
                assert answer(connection)[9:12] == b"200"


def with_header(size: int) -> bytes:
    """A request with a header of this many bytes."""
    return GET.format("Connection: close\r\nA: " + "a" * size).encode()


def test_pipelined_requests_are_all_answered(shared: Served) -> None:
    """Together they exceed the header limit of one request, and bodies do not count as headers."""
    one = GET.format("A: " + "a" * 3000)
    post = f"POST /nothing HTTP/1.1\r\nHost: x\r\nContent-Length: 20000\r\n\r\n{'b' * 20000}"
    last = GET.format("Connection: close")
    with opened(place(shared), (one * 12 + post + one + last).encode()) as connection:
        said = answer(connection)
    assert said.count(b"HTTP/1.1 200") == 14
    assert said.count(b"HTTP/1.1 4") == 1


def test_thousands_of_pipelined_requests_take_bounded_memory(tmp_path: Path) -> None:
    """Parsed all at once they would take fifty times their size."""
    many = b"GET /livez HTTP/1.1\r\nHost:x\r\n\r\n" * 8000
    with served(tmp_path, *NONE_TRUSTED, "--requests-a-minute", "0", anew=True) as server:
        asked(f"{server.url}/healthz")
        before = memory(server)
        with crowd(place(server), 20, ATTACKER, b"") as connections:
            for connection in connections:
                connection.setblocking(False)
                connection.send(many)
            assert asked(f"{server.url}/healthz") < LONG
            time.sleep(1)
        assert memory(server) - before < 40_000


def test_a_slow_drip_of_bytes_is_cut_off(tmp_path: Path) -> None:
    with served(tmp_path, "--header-seconds", "2") as server:
        asked(f"{server.url}/healthz")
        begun = time.monotonic()
        with opened(place(server), b"GET /") as slow, opened(place(server), b"") as silent:
            for _ in until(10):
                with suppress(ConnectionError):
                    slow.sendall(b"a")
                if time.monotonic() - begun > 3.5:
                    break
            said = answer(slow)
            assert said.startswith(b"HTTP/1.1 408 ")
            assert b'"code":"header_slow"' in said
            assert answer(silent) == b""
        assert time.monotonic() - begun < LONG
        # An answered connection idle between requests is not affected.
        with httpx.Client(base_url=server.url, timeout=LONG, verify=False) as client:
            for _ in range(3):
                assert client.get("/healthz").status_code == 200
                time.sleep(1.5)


@pytest.mark.parametrize(
    ("lines", "status"),
    [("", b"400"), ("Host: a\r\nHost: b\r\n", b"400"), ("Host: a\r\nhost: a\r\n", b"400"), ("Host:\r\n", b"200")],
)
def test_a_request_may_name_only_one_host(shared: Served, lines: str, status: bytes) -> None:
    said = answer(opened(place(shared), f"GET /livez HTTP/1.1\r\n{lines}Connection: close\r\n\r\n".encode()))
    assert said[9:12] == status
    assert (b'"code":"host_count"' in said) == (status == b"400")
    assert answer(opened(place(shared), b"GET /livez HTTP/1.0\r\n\r\n"))[9:12] == b"200"
    body = {"records": [source(1)]}
    response = httpx.post(f"{shared.url}/api/v1/push", json=body, headers=headers(), timeout=60, verify=False)
    assert response.status_code == 200
