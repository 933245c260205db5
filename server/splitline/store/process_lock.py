"""One server to a SQLite file: what a server keeps in memory of it holds only while nobody else serves it too.

The lock is on a small file beside the database, so SQLite's own locks stay as they are and commands work beside the
server. The system gives it back however a process ends. The file stays: whoever deleted it would let a second one in.
"""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from sqlalchemy.engine import make_url

from splitline.errors import SplitlineError
from splitline.store.faults import StoreUnavailable

ENDING = "-serving"
"""Of the name of the file that is locked."""


class ServedTwice(SplitlineError):
    """Another process serves this SQLite file already, or might do so under another name of it."""


@contextmanager
def only_server(url: str) -> Iterator[None]:
    """Be the only server of a SQLite file within the block; PostgreSQL takes any number of them.

    url: with its driver. Raises `ServedTwice`, and `StoreUnavailable` where the file to lock cannot be made.
    """
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite":
        yield
        return
    database = Path(str(parsed.database)).resolve()
    with _opened(Path(f"{database}{ENDING}")) as lock:
        _take(lock, database)
        yield


def _opened(path: Path) -> BinaryIO:
    """The file, made where it is not there yet. Read only: it may be another user's, who served here before."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        return os.fdopen(os.open(path, os.O_RDONLY | os.O_CREAT, 0o644), "rb")
    except OSError as fault:
        raise StoreUnavailable(f"the database does not answer: {path}: {fault.strerror}") from fault


def _take(lock: BinaryIO, database: Path) -> None:
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as fault:
        instead = "stop that one first, or use PostgreSQL, which several can serve"
        raise ServedTwice(f"{database} is being served by another process; {instead}") from fault
    # Another name has a lock file and a write-ahead log of its own: two servers would not see each other, and SQLite
    # would damage the database.
    if database.exists() and database.stat().st_nlink > 1:
        raise ServedTwice(f"{database} is also linked under another name; remove one of the two names first")
