"""Brings a database to the newest schema; safe when several servers start at once."""

from pathlib import Path

from sqlalchemy import Connection, inspect, text

from splitline.errors import SplitlineError
from splitline.store.engine import Store
from splitline.store.schema import HEAD

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


def _upgrade(connection: Connection) -> None:
    """Run Alembic inside the transaction that holds the lock."""
    from alembic import command
    from alembic.config import Config
    from alembic.util import CommandError

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).with_name("migrations")).replace("%", "%%"))
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, "head")
    except CommandError as fault:
        raise SchemaTooNew(f"the database was made by a later version of Splitline: {fault}") from fault
