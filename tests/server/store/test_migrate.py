"""Migrations: they create exactly the schema's tables, once, even if several servers start together."""

import asyncio
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection
from sqlalchemy.ext.asyncio import create_async_engine

import splitline.store.migrate as migrate_module
from splitline.store import schema, sequence
from splitline.store.engine import Store
from splitline.store.migrate import SchemaTooNew, SchemaTooOld, migrate


def compared(connection: Connection) -> list[object]:
    return list(compare_metadata(MigrationContext.configure(connection), schema.metadata))


async def differences(url: str) -> list[object]:
    engine = create_async_engine(url)
    async with engine.connect() as connection:
        found = await connection.run_sync(compared)
    await engine.dispose()
    return found


async def test_the_migrations_make_the_schema(empty_url: str) -> None:
    store = Store(empty_url)
    await migrate(store)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 0
    await store.close()
    assert await differences(empty_url) == []


async def test_a_missing_column_would_be_noticed(empty_url: str) -> None:
    store = Store(empty_url)
    await migrate(store)
    async with store.exclusive() as connection:
        await connection.rows("ALTER TABLE tests DROP COLUMN coverage_factor", [])
    await store.close()
    assert len(await differences(empty_url)) == 1


async def test_the_newest_step_is_the_one_the_schema_names() -> None:
    config = Config()
    config.set_main_option("script_location", str(Path(migrate_module.__file__).with_name("migrations")))
    assert ScriptDirectory.from_config(config).get_current_head() == schema.HEAD


async def test_several_servers_can_migrate_at_once(empty_url: str) -> None:
    stores = [Store(empty_url) for _ in range(6)]
    await asyncio.gather(*(migrate(store) for store in stores))
    async with stores[0].read() as connection:
        assert len(await connection.rows("SELECT * FROM sequence", [])) == 1
    for store in stores:
        await store.close()


async def test_two_databases_have_two_epochs(database_url: str, empty_url: str) -> None:
    epochs = set()
    for url in (database_url, empty_url):
        store = Store(url)
        await migrate(store)
        async with store.read() as connection:
            epochs.add((await sequence.head(connection)).epoch)
        await store.close()
    assert len(epochs) == 2


@pytest.mark.parametrize(("version", "fault"), [("9999", SchemaTooNew), ("0001", SchemaTooOld), ("1002", SchemaTooOld)])
async def test_a_database_of_another_version_is_left_alone(
    empty_url: str, version: str, fault: type[Exception]
) -> None:
    store = Store(empty_url)
    await migrate(store)
    async with store.exclusive() as connection:
        await connection.rows(f"UPDATE alembic_version SET version_num = '{version}'", [])
    with pytest.raises(fault):
        await migrate(store)
    async with store.read() as connection:
        assert (await sequence.head(connection)).value == 0
    await store.close()
