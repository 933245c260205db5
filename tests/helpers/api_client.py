"""Calls the API as a phone does, for the server's tests."""

import asyncio
import time
from typing import Any

from httpx import Response
from litestar.testing import AsyncTestClient

from helpers.examples import Json, secret

Client = AsyncTestClient[Any]
JSON = "application/json"
# Operations address of the application under test. Nothing listens there: requests stay in this process.
OPERATIONS = "127.0.0.1:9090"


def headers(who: int = 1, content: str = JSON) -> dict[str, str]:
    """Return the request headers of an invented person."""
    return {"Authorization": f"Bearer {secret(who)}", "Content-Type": content}


async def push(client: Client, *records: Json, who: int = 1) -> Json:
    """Push records, wait until the figures are up to date, and return the whole answer."""
    answer = await send(client, *records, who=who)
    await followed(client)
    return answer


async def send(client: Client, *records: Json, who: int = 1) -> Json:
    """Push records and return the whole answer."""
    answer = await client.post("/api/v1/push", json={"records": list(records)}, headers=headers(who))
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def followed(client: Client, seconds: float = 30.0) -> None:
    """Wait until nothing is stale."""
    until = time.monotonic() + seconds
    while "splitline_stale_keys 0\n" not in (await client.get(f"http://{OPERATIONS}/metrics")).text:
        assert time.monotonic() < until, "the figures are still stale"
        await asyncio.sleep(0.02)  # looking takes longer than that


async def fetch(client: Client, path: str, **query: str | float) -> Json:
    """GET a path and return the decoded answer."""
    answer = await client.get(path, params=query)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def problem_of(answer: Response, status: int) -> Json:
    """Check that an answer is a problem document and return it."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    document: Json = answer.json()
    assert document["status"] == status
    assert document["type"] == "about:blank"
    assert document["detail"] == document["problems"][0]["sentence"]
    assert document["code"] == document["problems"][0]["code"]
    assert "Traceback" not in answer.text
    return document
