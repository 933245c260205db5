"""Another process holds the database's write lock: a writer waits, then says 503; nothing is lost."""

import asyncio
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from time import monotonic

import asyncpg
import httpx

from faults.conftest import Place, Tell
from faults.counting import counted
from faults.phones import phones, push, records
from helpers.api_client import problem_of
from helpers.server_process import served

PATIENCE = 4


@asynccontextmanager
async def locked(place: Place) -> AsyncIterator[None]:
    """Hold the database's write lock from this process."""
    if place.engine == "sqlite":
        holder = sqlite3.connect(place.folder / "splitline.sqlite3", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        yield
        holder.close()
        return
    connection = await asyncpg.connect(place.url)
    async with connection.transaction():
        await connection.execute("SELECT value FROM sequence FOR UPDATE")
        yield
    await connection.close()


async def test_writers_wait_for_a_lock_and_then_get_503(place: Place, tell: Tell) -> None:
    [phone] = phones(people=1, batches=3, size=4)
    first, second, third = phone.batches
    with served(place.folder, "--database", f"{place.url}?patience={PATIENCE}") as server:
        assert (await push(server.url, first)).status_code == 200
        async with locked(place):
            start = monotonic()
            waiting = asyncio.gather(*(push(server.url, batch) for batch in (second, third)))
            async with httpx.AsyncClient(base_url=server.url, timeout=PATIENCE, verify=False) as reader:
                assert (await reader.get("/api/v1/pull")).status_code == 200, "readers do not wait"
            answers = await waiting
            assert monotonic() - start > PATIENCE * 0.9
        for answer in answers:
            assert problem_of(answer, 503)["code"] == "unavailable"
            assert int(answer.headers["retry-after"]) > 0
        assert counted(server.url, records([phone])).stored == len(first)
        async with locked(place):
            patient = asyncio.create_task(push(server.url, second))
            await asyncio.sleep(0.5)
            assert not patient.done()
        assert (await patient).status_code == 200, "it waited and then wrote"
        assert (await push(server.url, third)).status_code == 200
        tell("database locked by another process", place.engine, counted(server.url, records([phone])))
