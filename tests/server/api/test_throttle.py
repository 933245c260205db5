"""A client that sends too much must wait, loses nothing, and blocks nobody else."""

from collections.abc import AsyncIterator
from itertools import cycle
from pathlib import Path
from time import monotonic

import httpx
import pytest
from litestar.testing import AsyncTestClient

from helpers.api_client import Client, headers, problem_of, send
from helpers.examples import picture, reading, source
from helpers.server_process import served
from server.conftest import NOW
from splitline.app import create
from splitline.config import settings


@pytest.fixture
async def strict(tmp_path: Path) -> AsyncIterator[Client]:
    """A server that allows 30 records a minute per secret and 20 requests a minute per address."""
    chosen = settings({"data": tmp_path, "records_a_minute": "30", "requests_a_minute": "20"}, {})
    async with AsyncTestClient(create(chosen, now=lambda: NOW)) as client:
        yield client


async def test_too_many_records_with_one_secret_must_wait(strict: Client) -> None:
    await send(strict, source(1), *(reading(n, at=1) for n in range(1, 25)))
    batch = {"records": [reading(n, at=1) for n in range(25, 35)]}
    answer = await strict.post("/api/v1/push", json=batch, headers=headers())
    document = problem_of(answer, 429)
    assert document["code"] == "too_many"
    assert 1 <= int(answer.headers["retry-after"]) <= 60
    assert answer.headers["retry-after"] in document["detail"]
    assert answer.headers["cache-control"] == "no-store"
    assert len((await strict.get("/api/v1/pull")).json()["changes"]) == 25, "nothing of the batch was stored"
    await send(strict, source(2), who=2)


async def test_a_picture_counts_as_ten_records(strict: Client) -> None:
    statuses = []
    for _ in range(4):
        sent = await strict.put(f"/api/v1/photos/{'0' * 64}", content=picture(), headers=headers(content="image/jpeg"))
        statuses.append(sent.status_code)
    assert statuses == [422, 422, 422, 429]


async def test_too_many_requests_from_one_address_must_wait(strict: Client) -> None:
    began, let_through = monotonic(), 0
    for path in cycle(["/healthz", "/api/v1/pull", "/", "/nothing"]):
        answer = await strict.get(path)
        if answer.status_code == 429:
            break
        let_through += 1
    # One more is allowed every three seconds.
    assert 20 <= let_through <= 20 + (monotonic() - began) / 3
    assert problem_of(answer, 429)["problems"][0]["field"] == "address"


def test_behind_a_proxy_each_client_has_its_own_limit(tmp_path: Path) -> None:
    """On a real server: only a trusted proxy's header counts, and only its last entry."""
    with (
        served(tmp_path / "a", "--requests-a-minute", "2") as server,
        httpx.Client(base_url=server.url, timeout=60, verify=False) as client,
    ):

        def ask(forwarded: str) -> int:
            return client.get("/healthz", headers={"X-Forwarded-For": forwarded}).status_code

        assert [ask("192.0.2.1") for _ in range(3)] == [200, 200, 429]
        assert ask("192.0.2.2") == 200
        # The client's own claim comes first; the proxy appends the real address.
        assert [ask(f"203.0.113.{n}, 192.0.2.2") for n in range(2)] == [200, 429]
    options = ("--requests-a-minute", "2", "--trusted-proxies", "none")
    with (
        served(tmp_path / "b", *options) as server,
        httpx.Client(base_url=server.url, timeout=60, verify=False) as client,
    ):
        claimed = [client.get("/healthz", headers={"X-Forwarded-For": f"192.0.2.{n}"}).status_code for n in range(3)]
        assert claimed == [200, 200, 429]
