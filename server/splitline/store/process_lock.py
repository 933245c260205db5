"""Allows one server per SQLite file: a server's caches are valid only while no other server writes to it.

The lock is on a small file beside the database, so it does not interfere with SQLite's own locks, and commands work
while the server runs. The system releases it however the process ends. The lock file is never deleted: deleting it
would let in a second server.
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
"""Suffix of the lock file's name."""


class ServedTwice(SplitlineError):
    """Another process already serves this SQLite file, or might do so under another name (hard link)."""


@contextmanager
def only_server(url: str) -> Iterator[None]:
    """Hold the server lock of a SQLite file within the block; PostgreSQL allows any number of servers.

    url: with its driver. Raises `ServedTwice`, and `StoreUnavailable` if the lock file cannot be created.
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
    """The lock file, created if missing. Opened read-only, since it may belong to another user who served before."""
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
    # Under another name there is another lock file and write-ahead log: two servers would not notice each other, and
    # SQLite would damage the database.
    if database.exists() and database.stat().st_nlink > 1:
        raise ServedTwice(f"{database} is also linked under another name; remove one of the two names first")
