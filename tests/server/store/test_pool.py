"""The connection pool: as few as needed, never more than allowed, and never a broken one."""

import asyncio

import pytest

from splitline.store import sequence
from splitline.store.engine import Store, StoreUnavailable
from splitline.store.pool import MOST


async def test_sequential_queries_need_one_connection_and_writers_another(store: Store) -> None:
    read, written = [], []
    for _ in range(5):
        async with store.read() as connection:
            read.append(connection)
        async with store.write() as connection:
            written.append(connection)
    assert len(set(read)) == len(set(written)) == 1


async def test_queries_wait_when_all_connections_are_in_use(store: Store) -> None:
    used, at_once, most = set(), 0, 0
    all_lent = asyncio.Event()

    async def read() -> None:
        nonlocal at_once, most
        async with store.read() as connection:
            used.add(connection)
            at_once += 1
            most = max(most, at_once)
            if most == MOST:
                all_lent.set()
            await all_lent.wait()
            await sequence.head(connection)
            at_once -= 1

    await asyncio.gather(*(read() for _ in range(3 * MOST)))
    assert most == len(used) == MOST


async def test_waiting_too_long_for_a_connection_fails(database_url: str) -> None:
    store = Store(f"{database_url}{'&' if '?' in database_url else '?'}patience=0.2")
    gate = asyncio.Event()

    async def hold() -> None:
        async with store.read():
            await gate.wait()

    holding = [asyncio.create_task(hold()) for _ in range(MOST)]
    await asyncio.sleep(0.5)
    with pytest.raises(StoreUnavailable):
        async with store.read():
            pass
    gate.set()
    await asyncio.gather(*holding)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 0
    await store.close()


async def test_a_broken_connection_is_not_reused(store: Store) -> None:
    broken = []

    async def work() -> None:
        async with store.write() as connection:
            await sequence.take(connection, 5)
            await connection.driver.close()
            broken.append(connection)
            await sequence.head(connection)

    with pytest.raises(Exception, match=r"(?i)connection (is )?closed"):
        await work()
    async with store.write() as connection:
        assert connection not in broken
        assert (await sequence.head(connection)).value == 0
