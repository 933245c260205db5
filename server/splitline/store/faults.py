"""What a database says when it cannot serve, told apart: busy or away, full, damaged; bugs pass."""

from collections.abc import Iterator
from contextlib import contextmanager
from sqlite3 import Error as SqliteError
from sqlite3 import InterfaceError, OperationalError

from splitline.errors import SplitlineError

# A limit on the size of files and a quota make SQLite say that it could not write.
SQLITE_FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE")
SQLITE_DAMAGED = ("SQLITE_NOTADB", "SQLITE_CORRUPT")
POSTGRESQL_FULL = "53100"
# PostgreSQL's classes of codes that lie in its state, not in what it is asked: connection, whom it lets in, a database
# that is not there, means, objects (lock_not_available), the hand of whoever keeps it, its system.
POSTGRESQL_PASSING = ("08", "28", "3D", "53", "55", "57", "58")
# What the driver itself says of a connection that is not there any more.
ASYNCPG_PASSING = ("InterfaceError", "InternalClientError")


class StoreUnavailable(SplitlineError):
    """The database did not answer, or was busy for too long; the same request may succeed later."""


class StoreFull(SplitlineError):
    """The database's disk takes no more; nothing of the transaction is there, and reading goes on."""


class StoreDamaged(SplitlineError):
    """The database's file is none, or is damaged."""


@contextmanager
def told(*more: type[Exception]) -> Iterator[None]:
    """Turn the faults of a database into ours. Raises `StoreUnavailable`, `StoreFull`, `StoreDamaged`.

    more: what else says that the database is away.
    """
    try:
        yield
    except Exception as fault:
        if not isinstance(fault, more) and not is_driver(fault):
            raise
        sentence = (str(fault) or type(fault).__name__).splitlines()[0]
        if _is_full(fault):
            raise StoreFull(f"the disk of the database is full: {sentence}") from fault
        if _said(fault).startswith(SQLITE_DAMAGED):
            raise StoreDamaged(f"the database cannot be read, restore a backup: {sentence}") from fault
        if is_passing(fault) or isinstance(fault, more):
            raise StoreUnavailable(f"the database does not answer: {sentence}") from fault
        raise


def is_driver(fault: Exception) -> bool:
    """Return whether a driver said this."""
    return isinstance(fault, SqliteError | ConnectionError) or _of_asyncpg(fault)


def is_passing(fault: Exception) -> bool:
    """Return whether what a driver said lies in the state of the database, not in what it was asked."""
    if _of_asyncpg(fault):
        return _state(fault).startswith(POSTGRESQL_PASSING) or type(fault).__name__ in ASYNCPG_PASSING
    return isinstance(fault, OperationalError | InterfaceError | ConnectionError) or _is_full(fault)


def _of_asyncpg(fault: Exception) -> bool:
    """Asked by name: the driver is not loaded where nobody needs it."""
    return type(fault).__module__.startswith("asyncpg.")


def _is_full(fault: Exception) -> bool:
    return _said(fault).startswith(SQLITE_FULL) or _state(fault) == POSTGRESQL_FULL


def _said(fault: Exception) -> str:
    """SQLite's name for a fault."""
    return str(getattr(fault, "sqlite_errorname", ""))


def _state(fault: Exception) -> str:
    """PostgreSQL's code for a fault."""
    return str(getattr(fault, "sqlstate", None) or "")
