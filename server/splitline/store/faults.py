"""What a database says when it cannot serve, told apart: busy or away, full, damaged; bugs pass."""

from collections.abc import Iterator
from contextlib import contextmanager
from sqlite3 import Error as SQLiteError
from sqlite3 import IntegrityError as SQLiteIntegrityError

from sqlalchemy.exc import DBAPIError, InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from splitline.errors import SplitlineError

# A limit on the size of files and a quota make SQLite say that it could not write.
SQLITE_FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE")
SQLITE_DAMAGED = ("SQLITE_NOTADB", "SQLITE_CORRUPT")
# PostgreSQL's codes: disk_full, file too large for the system (io_error), lock_not_available.
POSTGRESQL_FULL = ("53100",)
POSTGRESQL_BUSY = ("55P03",)


class StoreUnavailable(SplitlineError):
    """The database did not answer, or was busy for too long; the same request may succeed later."""


class StoreFull(SplitlineError):
    """The database's disk takes no more; nothing of the transaction is there, and reading goes on."""


class StoreDamaged(SplitlineError):
    """The database's file is none, or is damaged."""


@contextmanager
def told() -> Iterator[None]:
    """Turn the faults of a database into ours. Raises `StoreUnavailable`, `StoreFull`, `StoreDamaged`."""
    try:
        yield
    except (DBAPIError, PoolTimeout, ConnectionError, SQLiteError) as fault:
        sentence = str(fault).splitlines()[0]
        if _said(fault, SQLITE_FULL, POSTGRESQL_FULL):
            raise StoreFull(f"the disk of the database is full: {sentence}") from fault
        if _said(fault, SQLITE_DAMAGED, ()):
            raise StoreDamaged(f"the database cannot be read, restore a backup: {sentence}") from fault
        if not isinstance(fault, DBAPIError | SQLiteIntegrityError) or is_passing(fault):
            raise StoreUnavailable(f"the database does not answer: {sentence}") from fault
        raise


def is_passing(fault: Exception) -> bool:
    """Return whether a fault lies in the state of the database, not in what it was asked."""
    # A database that does not exist, or that is just shutting down, has no class of its own, and no statement.
    refused = type(fault) is DBAPIError and (fault.connection_invalidated or fault.statement is None)
    busy = _said(fault, SQLITE_FULL, (*POSTGRESQL_FULL, *POSTGRESQL_BUSY))
    return isinstance(fault, OperationalError | InterfaceError) or refused or busy


def _said(fault: BaseException, sqlite: tuple[str, ...], postgresql: tuple[str, ...]) -> bool:
    """Whether the engine itself named one of these."""
    cause = getattr(fault, "orig", None) or fault
    return (
        str(getattr(cause, "sqlite_errorname", "")).startswith(sqlite) or getattr(cause, "sqlstate", "") in postgresql
    )
