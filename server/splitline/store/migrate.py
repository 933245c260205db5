"""Brings a database to the newest schema; safe when several servers start at once."""

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection as SyncConnection
from sqlalchemy import text

from splitline.errors import SplitlineError
from splitline.store.engine import Connection, Store
from splitline.store.faults import translated
from splitline.store.schema import HEAD
from splitline.store.snapshot import version

if TYPE_CHECKING:
    from alembic.config import Config

# Any number that only Splitline's migrations use as a PostgreSQL advisory lock.
LOCK = 0x5350_4C49
BEGIN = {"sqlite": "BEGIN IMMEDIATE", "postgresql": f"SELECT pg_advisory_xact_lock({LOCK})"}
"""Locks out others until the end of the transaction; PostgreSQL's has already begun."""


class SchemaTooNew(SplitlineError):
    """The database was made by a later version of Splitline."""


class SchemaTooOld(SplitlineError):
    """The tables are from before the first release; their migrations no longer exist."""


async def migrate(store: Store) -> None:
    """Create the tables, or migrate them to the newest version.

    Raises `SchemaTooNew`, `SchemaTooOld`, `StoreUnavailable`.
    """
    async with store.read() as connection:
        if await version(connection) == HEAD:
            return
    async with remaking(store) as (connection, make):
        # Another server may have migrated while this one waited; then skip loading Alembic.
        if await version(connection) != HEAD:
            await make(HEAD)


@asynccontextmanager
async def remaking(store: Store) -> AsyncIterator[tuple[Connection, Callable[[str], Awaitable[None]]]]:
    """An exclusive transaction that may change tables, and a function that migrates to a version.

    The function raises `SchemaTooNew`, `SchemaTooOld`. SQLAlchemy executes statements only here: Alembic needs it.
    """
    from sqlalchemy.exc import DBAPIError
    from sqlalchemy.ext.asyncio import create_async_engine
    from sqlalchemy.pool import NullPool

    connection = await store.opened()

    async def opened() -> Any:
        return connection.driver

    engine = create_async_engine(store.url, async_creator=opened, poolclass=NullPool, hide_parameters=True)
    with translated():
        try:
            async with engine.begin() as alembic:
                await alembic.execute(text(BEGIN[alembic.dialect.name]))
                yield connection, lambda wanted: alembic.run_sync(_upgrade, wanted)
        except DBAPIError as fault:  # The driver's exception is inside.
            raise (fault.orig and fault.orig.__cause__) or fault.orig or fault from fault
        finally:
            await engine.dispose()


def is_newer(version: str) -> bool:
    """Return whether a version of the tables is newer than this Splitline. Raises `SchemaTooOld`."""
    from alembic.script import ScriptDirectory

    known = {step.revision for step in ScriptDirectory.from_config(_config()).walk_revisions()}
    if version not in known and version < min(known):
        raise SchemaTooOld(
            f"tables of version {version} are from before the first release of Splitline and cannot be used; "
            "start with an empty database: the phones send their records again"
        )
    return version not in known


def _upgrade(connection: SyncConnection, wanted: str) -> None:
    """Run Alembic inside the transaction that holds the lock."""
    from alembic import command
    from alembic.migration import MigrationContext

    found = MigrationContext.configure(connection).get_current_revision()
    if found and is_newer(found):
        raise SchemaTooNew(
            f"the database was made by a later version of Splitline, with tables of version {found}; update Splitline"
        )
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, wanted)


def _config() -> "Config":
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).with_name("migrations")).replace("%", "%%"))
    return config
