"""What a database says when it cannot serve, told apart: busy or away, full, damaged; bugs pass."""

from collections.abc import Iterator
from contextlib import contextmanager
from sqlite3 import OperationalError

from splitline.errors import SplitlineError

# By SQLite's names, PostgreSQL's codes, and where there is neither by the driver's own class.
# A limit on the size of files and a quota make SQLite say that it could not write.
FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "53100")
DAMAGED = ("SQLITE_NOTADB", "SQLITE_CORRUPT")
# Of PostgreSQL the classes of codes that lie in its state, not in what it is asked: connection, whom it lets in, a
# database that is not there, means, locks, the hand of whoever keeps it, its system.
PASSING = ("08", "28", "3D", "53", "55", "57", "58", "InterfaceError", "InternalClientError")


class StoreUnavailable(SplitlineError):
    """The database did not answer, or was busy for too long; the same request may succeed later."""


class StoreFull(SplitlineError):
    """The database's disk takes no more; nothing of the transaction is there, and reading goes on."""


class StoreDamaged(SplitlineError):
    """The database's file is none, or is damaged."""


@contextmanager
def translated(*more: type[Exception]) -> Iterator[None]:
    """Turn the faults of a database into ours. Raises `StoreUnavailable`, `StoreFull`, `StoreDamaged`.

    more: what else says that the database is away.
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
