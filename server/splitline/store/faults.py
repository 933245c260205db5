"""Translates database errors: unavailable, full, damaged; bugs pass through."""

from collections.abc import Iterator
from contextlib import contextmanager
from sqlite3 import OperationalError

from splitline.errors import SplitlineError

# SQLite's error names, PostgreSQL's codes, or else the driver's exception class.
# With a file size limit or a quota, SQLite reports a write error.
FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "53100")
DAMAGED = ("SQLITE_NOTADB", "SQLITE_CORRUPT")
# PostgreSQL's classes of errors due to its state, not to the statement: connection, authorisation, missing database,
# resources, locks, operator intervention, system error.
PASSING = ("08", "28", "3D", "53", "55", "57", "58", "InterfaceError", "InternalClientError")


class StoreUnavailable(SplitlineError):
    """The database did not answer, or was busy for too long; the same request may succeed later."""


class StoreFull(SplitlineError):
    """The database's disk is full; the transaction was rolled back, reading still works."""


class StoreDamaged(SplitlineError):
    """The database file is damaged, or is not a database."""


@contextmanager
def translated(*more: type[Exception]) -> Iterator[None]:
    """Translate a database's exceptions into ours. Raises `StoreUnavailable`, `StoreFull`, `StoreDamaged`.

    more: other exceptions that mean that the database is unavailable.
    """
    try:
        yield
    except Exception as fault:
        name = _name(fault)
        sentence = (str(fault) or name).splitlines()[0]
        if name.startswith(FULL):
            raise StoreFull(f"the disk of the database is full: {sentence}") from fault
        if name.startswith(DAMAGED):
            raise StoreDamaged(f"the database cannot be read, restore a backup: {sentence}") from fault
        if name.startswith(PASSING) or isinstance(fault, (OperationalError, ConnectionError, *more)):
            raise StoreUnavailable(f"the database does not answer: {sentence}") from fault
        raise


def _name(fault: Exception) -> str:
    return str(getattr(fault, "sqlite_errorname", None) or getattr(fault, "sqlstate", None) or type(fault).__name__)
