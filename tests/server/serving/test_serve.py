"""The real server process: it starts, serves several phones, survives broken clients, and stops."""

import asyncio
import io
import json
import signal
import socket
import ssl
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

import httpx
import pytest
import trustme
import uvloop
from cryptography.hazmat.primitives import serialization
from PIL import Image

from helpers.api_client import headers
from helpers.command import splitline
from helpers.examples import Json, identifier, reading, source
from helpers.server_process import served
from helpers.sockets import answering, wait_until_read
from helpers.system import free_port
from splitline.serving.serve import listen

PHONES = 6
BATCHES = 5


async def pull_all(client: httpx.AsyncClient) -> list[Json]:
    changes: list[Json] = []
    cursor = ""
    while True:
        page = (await client.get("/api/v1/pull", params={"limit": 7, "cursor": cursor})).json()
        changes += page["changes"]
        cursor = page["cursor"]
        if not page["more"]:
            return changes


async def phone(client: httpx.AsyncClient, number: int) -> list[str]:
    """Send a source and some tests in small batches, each batch twice."""
    first = 1000 * (number + 1)
    statuses = []
    for batch in range(BATCHES):
        records = [reading(first + 3 * batch + n, at=first) for n in range(3)]
        body = {"records": [source(first), *records] if batch == 0 else records}
        for _ in range(2):
            answer = await client.post("/api/v1/push", json=body, headers=headers(number))
            assert answer.status_code == 200, answer.text
            statuses += [entry["status"] for entry in answer.json()["answers"]]
    return statuses


async def all_phones(url: str) -> None:
    async with httpx.AsyncClient(base_url=url, timeout=60, verify=False) as client:
        following = asyncio.create_task(pull_all(client))
        statuses = await asyncio.gather(*(phone(client, number) for number in range(PHONES)))
        await following
        changes = await pull_all(client)
    for of_one in statuses:
        assert (of_one.count("stored"), of_one.count("known")) == (1 + 3 * BATCHES, 1 + 3 * BATCHES)
    assert [change["sequence"] for change in changes] == list(range(1, PHONES * (1 + 3 * BATCHES) + 1))


@pytest.mark.parametrize(("database_url", "workers"), [("sqlite", "1"), ("postgresql", "3")], indirect=["database_url"])
def test_several_phones_push_at_once(database_url: str, tmp_path: Path, workers: str) -> None:
    with served(tmp_path, "--workers", workers, "--database", database_url) as server:
        asyncio.run(all_phones(server.url))
        assert not [line for line in server.errors.read_text().splitlines() if " INFO " not in line]


@pytest.mark.parametrize("database_url", ["postgresql"], indirect=True)
def test_two_workers_share_one_rate_limit(database_url: str, tmp_path: Path) -> None:
    options = ("--requests-a-minute", "300", "--trusted-proxies", "none", "--database", database_url)
    with served(tmp_path, "--workers", "2", *options) as server, ExitStack() as stack:
        clients, began, answers = [], time.monotonic(), []
        while len(clients) < 8 or answering(server) < 2:
            clients.append(stack.enter_context(httpx.Client(base_url=server.url, timeout=60, verify=False)))
            answers.append(clients[-1].get("/healthz"))
            assert len(clients) < 200, "one worker has all connections"
        admitted = clients
        while admitted:
            asked = [(client, client.get("/healthz")) for client in admitted]
            admitted = [client for client, answer in asked if answer.status_code == 200]
            answers += [answer for _, answer in asked]
        let_through = [answer.status_code for answer in answers].count(200)
        assert 300 <= let_through <= 301 + 5 * (time.monotonic() - began)
        assert let_through < len(answers)
        assert {answer.headers["retry-after"] for answer in answers if answer.status_code == 429} == {"1"}
        time.sleep(1)
        assert clients[0].get("/healthz").status_code == 200


def test_broken_clients_do_no_harm(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        address = urlsplit(server.url)
        started = "POST /api/v1/push HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
        secret = f"Authorization: {headers()['Authorization']}\r\n"
        for rough in (
            f"{started}{secret}Content-Length: 5000\r\n\r\n{{",  # disconnects halfway
            f"{started}{secret}Content-Length: x\r\n\r\n",
            f"{started}{secret}Transfer-Encoding: chunked\r\n\r\nzz\r\n",
            "\x16\x03\x01",
            "GET /" + "a" * 100_000 + " HTTP/1.1\r\n\r\n",
        ):
            place = (str(address.hostname), int(address.port or 0))
            # The server may answer with an error and disconnect before everything is sent.
            with socket.create_connection(place) as connection, suppress(ConnectionError):
                connection.sendall(rough.encode("latin-1"))
        with httpx.Client(base_url=server.url, timeout=60, verify=False) as client:
            for body in (b" " * 10_000_000, iter([b" " * 1_000_000] * 10)):
                answer = client.post("/api/v1/push", content=body, headers=headers())
                assert (answer.status_code, answer.json()["code"]) == (413, "body_too_large")
            assert client.get("/healthz").status_code == 200
            assert client.get("/api/v1/pull").json()["changes"] == []
        assert "Traceback" not in server.errors.read_text(), server.errors.read_text()


@contextmanager
def demo(folder: Path) -> Iterator[httpx.Client]:
    """The demo on a server; it is in the folder from then on."""
    with served(folder, "--demo") as server, httpx.Client(base_url=server.url, timeout=60, verify=False) as client:
        yield client


def test_one_command_serves_the_demo(tmp_path: Path) -> None:
    """HEAD of its dataset has no Content-Length: it is unknown before everything is written, and 0 would be wrong."""
    with demo(tmp_path) as client:
        found = client.get("/api/v1/sources", params={"near": "45.3,2.5", "within_km": 200}).json()
        assert len(found["sources"]) >= 10
        assert all(0 < entry["figures"]["typical"] < 100 for entry in found["sources"])
        assert client.get("/healthz").json()["invented"] is True
        before = client.get("/api/v1/pull", params={"limit": 1}).headers["etag"]
    with demo(tmp_path) as client:
        assert client.get("/api/v1/pull").headers["etag"] == before, "existing data is left alone"
        assert client.get("/").status_code == 200
        for name in ("dataset.csv", "dataset.geojson"):
            check_head(client, f"/api/v1/regions/FR-63/{name}")


def check_head(client: httpx.Client, path: str) -> None:
    """HEAD has the headers of GET."""
    get, head = client.get(path), client.head(path)
    assert (head.status_code, head.content) == (200, b"")
    own = {"date", "x-request-id", "transfer-encoding"}
    assert {**head.headers} == {key: value for key, value in get.headers.items() if key not in own} | {
        key: value for key, value in head.headers.items() if key in own
    }


def test_a_child_does_not_hold_the_port() -> None:
    """With uvloop, which leaves a child every socket that may be inherited."""

    async def after_the_server() -> None:
        server = listen("127.0.0.1", port)
        child = await asyncio.create_subprocess_exec("sleep", "60")
        try:
            server.close()
            listen("127.0.0.1", port).close()
        finally:
            child.kill()
            await child.wait()

    port = free_port()
    uvloop.run(after_the_server())


def test_acknowledged_records_survive_a_kill(tmp_path: Path) -> None:
    """An acknowledged record is on disk, whatever happens to the process next."""
    with served(tmp_path) as server:
        answer = httpx.post(
            f"{server.url}/api/v1/push", json={"records": [source(1)]}, headers=headers(), timeout=60, verify=False
        )
        assert answer.json()["answers"][0]["status"] == "stored"
        server.process.kill()
    with served(tmp_path) as server:
        changes = httpx.get(f"{server.url}/api/v1/pull", timeout=60, verify=False).json()["changes"]
        assert [change["id"] for change in changes] == [identifier(1)]


@pytest.mark.parametrize(("database_url", "workers"), [("sqlite", "1"), ("postgresql", "2")], indirect=["database_url"])
def test_a_batch_in_progress_is_finished_on_shutdown(database_url: str, tmp_path: Path, workers: str) -> None:
    body = json.dumps({"records": [source(1)]}).encode()
    lines = "".join(f"{name}: {value}\r\n" for name, value in headers().items())
    head = f"POST /api/v1/push HTTP/1.1\r\nHost: x\r\n{lines}Content-Length: {len(body)}\r\n\r\n".encode()
    with served(tmp_path, "--workers", workers, "--database", database_url) as server:
        address = urlsplit(server.url)
        with socket.create_connection((str(address.hostname), int(address.port or 0)), timeout=60) as connection:
            connection.sendall(head + body[:10])
            wait_until_read(connection)
            server.process.send_signal(signal.SIGTERM)
            wait_until_nobody_listens(server.url)
            assert server.process.poll() is None
            connection.sendall(body[10:])
            answer = connection.makefile("rb").read()
        assert answer.startswith(b"HTTP/1.1 200")
        assert b'"status":"stored"' in answer
        assert server.process.wait(60) == 0
    with served(tmp_path, "--database", database_url) as server:
        assert [
            one["id"] for one in httpx.get(f"{server.url}/api/v1/pull", timeout=60, verify=False).json()["changes"]
        ] == [identifier(1)]


def wait_until_nobody_listens(url: str) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            httpx.get(f"{url}/healthz", timeout=0.2, verify=False)
        except httpx.ConnectError:
            return
        except httpx.TransportError:
            pass  # accepted just as the listener closed
        time.sleep(0.05)
    raise AssertionError("the server goes on taking requests")


def test_the_server_speaks_https_without_a_proxy(tmp_path: Path) -> None:
    authority = trustme.CA()
    certificate = authority.issue_cert("127.0.0.1")
    certificate.cert_chain_pems[0].write_to_path(tmp_path / "chain.pem")
    certificate.private_key_pem.write_to_path(tmp_path / "key.pem")
    context = ssl.create_default_context()
    authority.configure_trust(context)
    files = ("--tls-cert", str(tmp_path / "chain.pem"), "--tls-key", str(tmp_path / "key.pem"))
    with served(tmp_path, *files) as server:
        assert server.url.startswith("https://")
        answer = httpx.get(f"{server.url}/healthz", verify=context, timeout=60)
        assert answer.json()["status"] == "ok"
        assert answer.headers["strict-transport-security"] == "max-age=31536000"
    with served(tmp_path) as server:
        assert "strict-transport-security" not in httpx.get(f"{server.url}/healthz", timeout=60, verify=False).headers


def test_a_password_protected_key_is_refused_without_a_prompt(tmp_path: Path) -> None:
    certificate = trustme.CA().issue_cert("127.0.0.1")
    key = serialization.load_pem_private_key(certificate.private_key_pem.bytes(), None)
    locked = serialization.BestAvailableEncryption(b"hush")
    form = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8)
    certificate.cert_chain_pems[0].write_to_path(tmp_path / "chain.pem")
    (tmp_path / "key.pem").write_bytes(key.private_bytes(*form, locked))
    files = ["--tls-cert", str(tmp_path / "chain.pem"), "--tls-key", str(tmp_path / "key.pem")]
    done = splitline("serve", "--data", str(tmp_path), "--port", "0", *files)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("the certificate and its key cannot be used")


@pytest.mark.parametrize(
    ("options", "status", "sentence"),
    [
        (["--port", "http"], 2, "port is http; give a whole number within 0..65535."),
        (["--database", "mysql://x/y"], 2, "database cannot be used as mysql://x/y; give sqlite"),
        (["--log", "xml"], 2, "log is xml; give one of text, json."),
        (
            ["--workers", "2"],
            2,
            "workers is 2, but only one process can serve SQLite; leave it at 1, or give a postgresql://",
        ),
        (["--database", "sqlite:////proc/none/x"], 1, "the database does not answer: /proc/none/x-serving: "),
        (["--tls-cert", __file__], 2, "tls_key is missing; HTTPS needs both"),
        (["--tls-cert", "no.pem", "--tls-key", __file__], 2, "tls_cert is no.pem, and there is no such file"),
        (["--tls-cert", __file__, "--tls-key", __file__], 1, "the certificate and its key cannot be used"),
        (["--host", "192.0.2.1", "--port", "8484"], 1, "cannot listen on 192.0.2.1 port 8484"),
        (["--database", "postgresql://nobody@127.0.0.1:1/x"], 1, "the database does not answer"),
    ],
)
def test_a_failed_start_gives_one_sentence(tmp_path: Path, options: list[str], status: int, sentence: str) -> None:
    done = splitline("serve", "--data", str(tmp_path), *options)
    assert done.returncode == status
    assert done.stderr.startswith(sentence)
    assert done.stderr.count("\n") == 1, done.stderr
    assert done.stdout == ""


def test_idle_memory_is_bounded(tmp_path: Path) -> None:
    """A very small computer can serve a club: at most 200 MB, including pictures."""
    buffer = io.BytesIO()
    Image.effect_noise((1600, 1200), 60).convert("RGB").save(buffer, "JPEG", quality=60)
    from hashlib import sha256

    body = buffer.getvalue()
    with served(tmp_path, anew=True) as server:
        path = f"{server.url}/api/v1/photos/{sha256(body).hexdigest()}"
        assert (
            httpx.put(path, content=body, headers=headers(content="image/jpeg"), timeout=60, verify=False).status_code
            == 201
        )
        status = Path(f"/proc/{server.process.pid}/status")
        resident = int(next(line for line in status.read_text().splitlines() if line.startswith("VmRSS")).split()[1])
    assert resident < 200_000
