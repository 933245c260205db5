"""The engines: writers take turns, a failed write leaves nothing, and a missing database is reported."""

import asyncio
import sqlite3
from time import monotonic

import asyncpg
import pytest
from sqlalchemy import bindparam, select

from splitline.store import schema, sequence
from splitline.store.engine import Store, StoreUnavailable


async def test_writers_take_turns_and_no_number_is_given_twice(database_url: str) -> None:
    stores = [Store(database_url) for _ in range(3)]
    taken: list[int] = []

    async def write(store: Store, count: int) -> None:
        async with store.write() as connection:
            before = (await sequence.head(connection)).value
            await asyncio.sleep(0.002)
            first = await sequence.take(connection, count)
            assert first == before + 1, "somebody wrote during our turn"
            taken.extend(range(first, first + count))

    await asyncio.gather(*(write(store, 1 + n % 3) for n in range(8) for store in stores))
    assert sorted(taken) == list(range(1, len(taken) + 1))
    for store in stores:
        await store.close()


async def test_a_failed_transaction_leaves_nothing_behind(store: Store) -> None:
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


async def test_waiting_writers_block_no_reader(store: Store) -> None:
    """More writers than connections: each would hold one while waiting."""

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


async def test_a_write_that_waits_too_long_fails_and_leaves_the_queue(database_url: str) -> None:
    patient, store = Store(database_url), Store(f"{database_url}{'&' if '?' in database_url else '?'}patience=0.2")

    async def write(store: Store) -> None:
        async with store.write() as connection:
            await sequence.take(connection, 1)

    for holding in (patient, store):  # First another process holds the lock, then another writer of this one.
        async with holding.write():
            start = monotonic()
            with pytest.raises(StoreUnavailable):
                await write(store)
            assert monotonic() - start >= 0.19
            queued = asyncio.create_task(write(patient))
        await queued
        await write(store)
    for each in (patient, store):
        await each.close()


async def test_a_cancelled_writer_leaves_nothing_and_leaks_no_connection(store: Store) -> None:
    begun = asyncio.Event()

    async def write() -> None:
        async with store.write() as connection:
            await sequence.take(connection, 5)
            begun.set()
            await sequence.take(connection, 5)
            await asyncio.sleep(60)

    for _ in range(20):
        begun.clear()
        tasks = [asyncio.create_task(write()) for _ in range(3)]
        await begun.wait()
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
    async with store.write() as connection:
        assert await sequence.take(connection, 1) == 1


async def test_one_statement_needs_no_transaction(store: Store) -> None:
    statement = select(schema.sequence.c.value, schema.sequence.c.invented).where(
        schema.sequence.c.id == bindparam("id")
    )
    async with store.read() as connection:
        [(number,)] = await connection.rows("SELECT id FROM sequence", [])
    async with store.write() as writing:
        await sequence.take(writing, 5)
        assert await store.one(statement, {"id": number}) == (0, False)
    assert await store.one(statement, {"id": number}) == (5, False)


async def test_a_dead_connection_is_replaced(store: Store) -> None:
    if store.on_sqlite:
        pytest.skip("SQLite is no server that could be started again")
    # Several connections that all end, as when the server restarts.
    for act in (store.read, store.write, store.snapshot, None):
        async with store.read(), store.read(), store.read():
            pass
        other = await asyncpg.connect(store.url.set(drivername="postgresql").render_as_string(hide_password=False))
        await other.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() "
            "AND datname = current_database()"
        )
        await other.close()
        if act is None:
            assert await store.one(sequence.NOW, {})
        else:
            async with act() as connection:
                assert (await sequence.head(connection)).value == 0


async def test_foreign_keys_are_enforced_at_commit(store: Store) -> None:
    async def show_a_picture_of_no_test() -> None:
        async with store.write() as connection:
            await connection.rows("INSERT INTO test_photos VALUES ('FR-63', 'nobody', '0')", [])

    with pytest.raises((sqlite3.IntegrityError, asyncpg.IntegrityConstraintViolationError)):
        await show_a_picture_of_no_test()


async def test_sqlite_is_configured_for_several_processes(store: Store) -> None:
    if not store.on_sqlite:
        return
    async with store.read() as connection:
        values = [
            (await connection.rows(f"PRAGMA {name}", []))[0][0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "cache_size")
        ]
    assert values == ["wal", 2, 1, 20_000, -16384]


@pytest.mark.parametrize("url", ["postgresql+asyncpg://nobody@127.0.0.1:1/x", "sqlite+aiosqlite:////proc/none/x"])
async def test_a_missing_database_is_reported_as_unavailable(url: str) -> None:
    if url.startswith("sqlite"):
        with pytest.raises(OSError, match="none"):
            Store(url)
        return
    store = Store(url)
    with pytest.raises(StoreUnavailable):
        async with store.read():
            pass
    await store.close()
