"""Brings a database to the newest schema; safe when several servers start at once."""

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, text
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.errors import SplitlineError
from splitline.store.engine import Store
from splitline.store.schema import HEAD

if TYPE_CHECKING:
    from alembic.config import Config

# Any number that only Splitline's migrations use as a PostgreSQL advisory lock.
LOCK = 0x5350_4C49


class SchemaTooNew(SplitlineError):
    """The database was made by a later version of Splitline."""


async def migrate(store: Store) -> None:
    """Create the tables, or change them to the newest form. Raises `SchemaTooNew`, `StoreUnavailable`."""
    async with store.read() as connection:
        if await connection.run_sync(_version) == HEAD:
            return
    async with store.exclusive() as connection:
        if not store.on_sqlite:
            await connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
        # Another server may have done it while this one waited; those behind it shall not wait for Alembic again.
        if await connection.run_sync(_version) != HEAD:
            await connection.run_sync(_upgrade)


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


async def make(connection: AsyncConnection, version: str) -> None:
    """Create the tables as some version had them, or change them to it, inside a transaction. Raises `SchemaTooNew`."""
    await connection.run_sync(_upgrade, version)


def is_known(version: str) -> bool:
    """Return whether this program knows the tables of a version."""
    from alembic.script import ScriptDirectory

    return version in {step.revision for step in ScriptDirectory.from_config(_config()).walk_revisions()}


def _upgrade(connection: Connection, version: str = HEAD) -> None:
    """Run Alembic inside the transaction that holds the lock."""
    from alembic import command
    from alembic.util import CommandError

    config = _config()
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, version)
    except CommandError as fault:
        raise SchemaTooNew(f"the database was made by a later version of Splitline: {fault}") from fault


def _config() -> "Config":
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).with_name("migrations")).replace("%", "%%"))
    return config
