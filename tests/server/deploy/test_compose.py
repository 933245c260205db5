"""The compose file's services, run on this machine: PostgreSQL, an S3 server, nginx with its configuration, TLS."""

import os
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import httpx
import pytest
import trustme

from faults.conftest import execute
from faults.test_object_store import Objects
from helpers.api_client import headers
from helpers.examples import drawing, reading, source
from helpers.programs import nginx_path
from helpers.server_process import START_SECONDS
from helpers.system import free_port
from server.deploy.files import DEPLOY, services, stages

SECRETS = {"POSTGRES_PASSWORD": "p-w", "S3_SECRET": "s3-secret"}


@pytest.fixture
def objects() -> Iterator[Objects]:
    store = Objects()
    store.start()
    yield store
    store.stop()


@pytest.fixture
def database(postgresql_url: str) -> Iterator[str]:
    """The database and its user as the composition creates them."""
    made = services(SECRETS)["database"]["environment"]
    user, name = made["POSTGRES_USER"], made["POSTGRES_DB"]
    execute(postgresql_url, f"CREATE ROLE {user} LOGIN PASSWORD '{made['POSTGRES_PASSWORD']}'")
    execute(postgresql_url, f"CREATE DATABASE {name} OWNER {user}")
    yield postgresql_url.split("@")[1].rsplit("/", 1)[0]
    execute(postgresql_url, f"DROP DATABASE {name} WITH (FORCE)")
    execute(postgresql_url, f"DROP ROLE {user}")


@contextmanager
def running(command: list[str], log: Path, **how: object) -> Iterator[subprocess.Popen[bytes]]:
    """Run a process until the end of the block, then stop it."""
    with log.open("wb") as said:
        process = subprocess.Popen(command, stdout=said, stderr=said, **how)  # type: ignore[call-overload]
        try:
            yield process
        finally:
            process.terminate()
            process.wait(START_SECONDS)


def environment(folder: Path, database: str, objects: Objects, port: int, operations: int) -> dict[str, str]:
    """The variables of container and compose file, with this machine's addresses in place of the composition's."""
    found = {**stages()[-1].environment, **services(SECRETS)["splitline"]["environment"]}
    bucket = found["SPLITLINE_PHOTOS"].removeprefix("s3://")
    assert httpx.put(f"{objects.url}/{bucket}", timeout=60).status_code == 200
    here = {
        "SPLITLINE_DATABASE": found["SPLITLINE_DATABASE"].replace("@database/", f"@{database}/"),
        "SPLITLINE_DATA": str(folder / "data"),
        "SPLITLINE_HOST": "127.0.0.1",
        "SPLITLINE_PORT": str(port),
        "SPLITLINE_OPERATIONS": f"127.0.0.1:{operations}",
        "SPLITLINE_TRUSTED_PROXIES": "127.0.0.1",
        "AWS_ENDPOINT_URL": objects.url,
    }
    return {**os.environ, **found, **here}


def proxy(folder: Path, authority: trustme.CA, to: int) -> tuple[list[str], int, int]:
    """The command that starts nginx with our configuration, and its two ports, with and without TLS."""
    secure, plain = free_port(), free_port()
    certificate = authority.issue_cert("127.0.0.1")
    certificate.cert_chain_pems[0].write_to_path(folder / "chain.pem")
    certificate.private_key_pem.write_to_path(folder / "key.pem")
    text = (DEPLOY / "nginx.conf").read_text(encoding="utf-8")
    places = "".join(
        f"{kind}_temp_path {folder}/{kind};" for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    for there, here in (
        ("/run/nginx.pid", f"{folder}/nginx.pid"),
        ("http {", f"http {{ {places}"),
        ("splitline:8484", f"127.0.0.1:{to}"),
        ("listen 443", f"listen 127.0.0.1:{secure}"),
        ("listen 80", f"listen 127.0.0.1:{plain}"),
        ("/tls/", f"{folder}/"),
    ):
        assert there in text, there
        text = text.replace(there, here)
    file = folder / "nginx.conf"
    # As root, nginx would switch to a user who cannot read the test's folder.
    file.write_text(("user root;\n" if os.geteuid() == 0 else "") + text)
    return [str(nginx_path()), "-c", str(file), "-g", "daemon off;"], secure, plain


def until_it_answers(url: str, process: subprocess.Popen[bytes], log: Path, **how: object) -> httpx.Response:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until and process.poll() is None:
        try:
            answer = httpx.get(url, timeout=60, **how)  # type: ignore[arg-type]
        except httpx.TransportError:
            time.sleep(0.1)
        else:
            if answer.status_code < 500:
                return answer
            time.sleep(0.1)
    raise AssertionError(f"no answer: {log.read_text()}")


def test_records_pass_through_the_whole_composition(database: str, objects: Objects, tmp_path: Path) -> None:
    port, operations, authority = free_port(), free_port(), trustme.CA()
    context = ssl.create_default_context()
    authority.configure_trust(context)
    nginx, secure, plain = proxy(tmp_path, authority, port)
    command = [sys.executable, "-m", *stages()[-1].command]
    said, log = tmp_path / "server.txt", tmp_path / "nginx.txt"
    health = [sys.executable, *(part.replace("9090", str(operations)) for part in stages()[-1].health[1:])]
    with (
        running(command, said, env=environment(tmp_path, database, objects, port, operations)) as server,
        running(nginx, log) as front,
        httpx.Client(base_url=f"https://127.0.0.1:{secure}", verify=context, timeout=60) as client,
    ):
        until_it_answers(f"http://127.0.0.1:{port}/healthz", server, said)
        assert subprocess.run(health, check=False).returncode == 0
        answer = until_it_answers(f"https://127.0.0.1:{secure}/healthz", front, log, verify=context)
        assert answer.headers["strict-transport-security"] == "max-age=31536000"
        sent_and_seen_again(client, objects)
        what_does_not_get_through(client, plain, secure)
    assert subprocess.run(health, capture_output=True, check=False).returncode != 0
    assert "Traceback" not in said.read_text()


def sent_and_seen_again(client: httpx.Client, objects: Objects) -> None:
    """Push a station, a test and a picture too large for nginx's memory buffer, and read them back."""
    body = drawing(1, size=(2400, 1600))
    digest = sha256(body).hexdigest()
    records = [source(1), reading(1, at=1, photos=[digest])]
    answer = client.post("/api/v1/push", json={"records": records}, headers=headers())
    assert [one["status"] for one in answer.json()["answers"]] == ["stored", "stored"]
    kept = client.put(f"/api/v1/photos/{digest}", content=body, headers=headers(content="image/jpeg"))
    assert kept.status_code == 201, kept.text
    assert f"{digest[:2]}/{digest}" in objects.names("pictures")
    changes = client.get("/api/v1/pull").json()["changes"]
    assert [change["id"] for change in changes] == [record["id"] for record in records]
    assert client.get(f"/api/v1/photos/{digest}").headers["content-type"] == "image/jpeg"


def what_does_not_get_through(client: httpx.Client, plain: int, secure: int) -> None:
    assert [client.get(path).status_code for path in ("/metrics", "/livez", "/readyz")] == [404, 404, 404]
    moved = httpx.get(f"http://127.0.0.1:{plain}/some?where", timeout=60)
    assert (moved.status_code, moved.headers["location"]) == (308, "https://127.0.0.1/some?where")
    assert client.get("/healthz", headers={"X-Long": "x" * 20_000}).status_code == 400
    assert client.post("/api/v1/push", content=b" " * (3 << 20), headers=headers()).status_code == 413
    with pytest.raises(httpx.TransportError):
        httpx.get(f"https://127.0.0.1:{secure}/", timeout=60)  # a self-signed authority
