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


class SchemaTooOld(SplitlineError):
    """The tables were made before the first release, by steps that are no longer here."""


async def migrate(store: Store) -> None:
    """Create the tables, or change them to the newest form.

    Raises `SchemaTooNew`, `SchemaTooOld`, `StoreUnavailable`.
    """
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
    """Create the tables as some version had them, or change them to it, inside a transaction.

    Raises `SchemaTooNew`, `SchemaTooOld`.
    """
    await connection.run_sync(_upgrade, version)


def is_newer(version: str) -> bool:
    """Return whether tables come from a later version of Splitline than this one. Raises `SchemaTooOld`."""
    from alembic.script import ScriptDirectory

    known = {step.revision for step in ScriptDirectory.from_config(_config()).walk_revisions()}
    if version not in known and version < min(known):
        raise SchemaTooOld(
            f"tables of version {version} are from before the first release of Splitline and cannot be used; "
            "start with an empty database: the phones send their records again"
        )
    return version not in known


def _upgrade(connection: Connection, version: str = HEAD) -> None:
    """Run Alembic inside the transaction that holds the lock."""
    from alembic import command

    found = _version(connection)
    if found and is_newer(found):
        raise SchemaTooNew(
            f"the database was made by a later version of Splitline, with tables of version {found}; update Splitline"
        )
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, version)


def _config() -> "Config":
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).with_name("migrations")).replace("%", "%%"))
    return config
