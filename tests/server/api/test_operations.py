"""Endpoints for the operator: where they can be reached from, and whether they are right."""

import asyncio
import os
import resource
import socket
import sqlite3
import time
from pathlib import Path

import httpx
import pytest

from helpers.api_client import problem_of
from helpers.command import splitline
from helpers.server_process import Served, served
from helpers.system import free_port
from splitline.api.operations import PATHS
from splitline.api.readiness import READY, UNREADY, Readiness
from splitline.config import settings
from splitline.store import sequence
from splitline.store.engine import Store
from splitline.store.faults import StoreUnavailable
from splitline.store.migrate import migrate

EVERYWHERE = {"/healthz", "/livez", "/readyz"}


def statuses(url: str, *paths: str, **sent: str) -> list[int]:
    return [httpx.get(url + path, headers=sent, timeout=60, verify=False).status_code for path in paths]


@pytest.mark.parametrize(("database_url", "workers"), [("sqlite", "1"), ("postgresql", "2")], indirect=["database_url"])
def test_operations_endpoints_listen_on_their_own_address(database_url: str, tmp_path: Path, workers: str) -> None:
    operations = f"127.0.0.1:{free_port()}"
    options = (
        "--requests-a-minute",
        "4",
        "--workers",
        workers,
        "--operations",
        operations,
        "--trusted-proxies",
        "none",
    )
    with served(tmp_path, *options, "--database", database_url) as server:
        own = f"http://{operations}"
        for _ in range(5):  # there is no limit of rate, and it is the same for each worker
            assert statuses(own, *sorted(PATHS)) == [200] * 4
        document = problem_of(httpx.get(f"{own}/api/v1/pull", timeout=60, verify=False), 404)
        assert document["code"] == "not_found"
        assert statuses(own, "/", "/api/schema", "/nothing") == [404] * 3
        assert statuses(server.url, "/metrics") == [404]
        assert statuses(server.url, "/metrics/") == [404]
        assert "splitline_requests_total{" in httpx.get(f"{own}/metrics", timeout=60, verify=False).text


def test_without_an_operations_address_metrics_are_local_only(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        assert statuses(server.url, "/metrics", *EVERYWHERE) == [200] * 4
        for name in ("X-Forwarded-For", "Forwarded", "X-Real-IP", "Via"):
            assert statuses(server.url, "/metrics", **{name: "127.0.0.1"}) == [404], name
        assert statuses(server.url, *EVERYWHERE, **{"X-Forwarded-For": "192.0.2.1"}) == [200] * 3


def test_metrics_are_refused_from_another_address(tmp_path: Path) -> None:
    """Uses the machine's own network address, if it has one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            pytest.skip("this machine has no address but the loopback's")
        host = probe.getsockname()[0]
    with served(tmp_path, "--host", host) as server:
        assert statuses(server.url, "/metrics", *EVERYWHERE) == [404, 200, 200, 200]


def test_the_operations_address_may_come_from_the_environment_and_is_validated(tmp_path: Path) -> None:
    operations = f"127.0.0.1:{free_port()}"
    with served(tmp_path, environment={**os.environ, "SPLITLINE_OPERATIONS": operations}):
        assert statuses(f"http://{operations}", "/livez") == [200]
    for wrong in ("9090", "127.0.0.1", "127.0.0.1:x", "127.0.0.1:99999", "/tmp/x"):
        done = splitline("serve", "--data", str(tmp_path), "--operations", wrong)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr == f"operations is {wrong}; give an address and a port, such as 127.0.0.1:9090.\n"
    taken = splitline("serve", "--data", str(tmp_path), "--port", "0", "--operations", "192.0.2.1:9090")
    assert (taken.returncode, taken.stderr.startswith("cannot listen on 192.0.2.1 port 9090")) == (1, True)


def eventually(server: Served, status: int) -> httpx.Response:
    """Ask until the readiness is as expected, for at most a minute."""
    until = time.monotonic() + 60
    while (answer := httpx.get(f"{server.url}/readyz", timeout=60, verify=False)).status_code != status:
        assert time.monotonic() < until
        time.sleep(0.5)
    return answer


def test_a_server_that_cannot_write_is_live_but_not_ready(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (1000, resource.RLIM_INFINITY))
        answer = httpx.get(f"{server.url}/readyz", timeout=60, verify=False)
        assert problem_of(answer, 503)["code"] == "storage_full"
        assert int(answer.headers["retry-after"]) > 0
        assert statuses(server.url, "/livez", "/healthz") == [200, 200]
        resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        assert eventually(server, 200).json() == {"status": "ok"}
        assert "not ready: the disk of the database is full" in server.errors.read_text()


def test_a_server_with_a_locked_database_is_not_ready(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        holder = sqlite3.connect(tmp_path / "splitline.sqlite3", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        begun = time.monotonic()
        assert problem_of(httpx.get(f"{server.url}/readyz", timeout=60, verify=False), 503)["code"] == "unavailable"
        assert time.monotonic() - begun < 10
        assert statuses(server.url, "/livez", "/healthz") == [200, 200]
        holder.close()
        eventually(server, 200)


async def test_readiness_is_checked_no_more_often_than_it_can_change(store: Store) -> None:
    now = [0.0]
    readiness = Readiness(store, lambda: now[0])

    async def writes() -> bool:
        """Whether ten simultaneous checks wrote anything."""
        before = await state(store)
        await asyncio.gather(*(readiness.check() for _ in range(10)))
        return await state(store) != before

    async with store.read() as connection:
        head = await sequence.head(connection)
    assert await writes()
    now[0] = READY - 1
    assert not await writes()
    now[0] = READY
    assert await writes()
    async with store.read() as connection:
        assert await sequence.head(connection) == head, "a check is not a visible change"


async def state(store: Store) -> object:
    """A value that changes with every write."""
    if store.on_sqlite:
        return os.stat(f"{store.url.database}-wal").st_mtime_ns  # noqa: PTH116 - one file, at once
    async with store.read() as connection:
        return await connection.rows("SELECT CAST(xmin AS text) FROM sequence")


async def test_a_failed_check_is_repeated_until_the_next_one(tmp_path: Path) -> None:
    now = [0.0]
    place = tmp_path / "data"
    store = Store(settings({"data": place}, {}).database)
    await migrate(store)
    readiness = Readiness(store, lambda: now[0])
    await readiness.check()
    await store.close()
    kept = place.rename(tmp_path / "away")
    now[0] = READY
    for _ in range(3):
        with pytest.raises(StoreUnavailable):
            await readiness.check()
    kept.rename(place)
    with pytest.raises(StoreUnavailable):
        await readiness.check()
    now[0] = READY + UNREADY
    await readiness.check()
    await store.close()
