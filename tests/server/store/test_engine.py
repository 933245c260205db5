"""The engines: writers take turns, a failed turn leaves nothing, and a database that is away is said to be."""

import asyncio

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from splitline.store import sequence
from splitline.store.engine import Store, StoreUnavailable


async def test_writers_take_turns_and_numbers_are_never_given_twice(database_url: str) -> None:
    stores = [Store(database_url) for _ in range(3)]
    taken: list[int] = []

    async def write(store: Store, count: int) -> None:
        async with store.write() as connection:
            before = (await sequence.head(connection)).value
            await asyncio.sleep(0.002)
            first = await sequence.take(connection, count)
            assert first == before + 1, "somebody wrote in our turn"
            taken.extend(range(first, first + count))

    await asyncio.gather(*(write(store, 1 + n % 3) for n in range(8) for store in stores))
    assert sorted(taken) == list(range(1, len(taken) + 1))
    for store in stores:
        await store.close()


async def test_what_fails_leaves_nothing_behind(store: Store) -> None:
    async def fail() -> None:
        async with store.write() as connection:
            await sequence.take(connection, 5)
            raise ValueError("on purpose")

    with pytest.raises(ValueError, match="on purpose"):
        await fail()
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 0


async def test_readers_do_not_wait_for_a_writer(store: Store) -> None:
    async with store.write() as writing:
        await sequence.take(writing, 5)
        async with store.read() as connection:
            assert (await sequence.head(connection)).value == 0


async def test_writers_that_wait_keep_no_reader_out(store: Store) -> None:
    """More of them than there are connections: each would hold one while it waits."""

    async def write() -> None:
        async with store.write() as connection:
            await sequence.take(connection, 1)

    async with store.write() as writing:
        await sequence.take(writing, 5)
        waiting = [asyncio.create_task(write()) for _ in range(30)]
        await asyncio.sleep(0.2)
        async with asyncio.timeout(10), store.read() as connection:
            assert (await sequence.head(connection)).value == 0
    await asyncio.gather(*waiting)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 35


async def test_foreign_keys_hold_at_the_commit(store: Store) -> None:
    async def show_a_picture_of_no_test() -> None:
        async with store.write() as connection:
            row = {"region": "FR-63", "test": "nobody", "digest": "0"}
            await connection.execute(text("INSERT INTO test_photos VALUES (:region, :test, :digest)"), row)

    with pytest.raises(IntegrityError):
        await show_a_picture_of_no_test()


async def test_sqlite_is_set_up_for_several_processes(store: Store) -> None:
    if not store.on_sqlite:
        return
    async with store.read() as connection:
        values = [
            (await connection.execute(text(f"PRAGMA {name}"))).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        ]
    assert values == ["wal", 2, 1, 20_000]


@pytest.mark.parametrize("url", ["postgresql+asyncpg://nobody@127.0.0.1:1/x", "sqlite+aiosqlite:////proc/none/x"])
async def test_a_database_that_is_away_is_said_to_be(url: str) -> None:
    if url.startswith("sqlite"):
        with pytest.raises(OSError, match="none"):
            Store(url)
        return
    store = Store(url)
    with pytest.raises(StoreUnavailable):
        async with store.read():
            pass
    await store.close()
