"""How full buckets are, in memory that all workers of a server look at.

A table of fixed size: the digest of a key says in which row it stands, and where a row is full, the key that was asked
for the longest ago makes room. The digest is salted, so that nobody can choose whom to push out.
"""

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import blake2b
from mmap import mmap
from pathlib import Path
from secrets import token_bytes
from struct import Struct

ROWS, PLACES = 2**14, 8
"""131,072 keys in 4 MB, of which the system hands out what is touched."""
SALT = 16
# Digest of the key, level, seconds of the clock at which it was that.
PLACE = Struct("=16sdd")


@dataclass(slots=True)
class Level:
    """What is in a bucket, and since when; None for a key that is not known."""

    value: float | None
    since: float


class Levels:
    """The levels of one kind of key."""

    def __init__(self, file: Path | None = None, rows: int = ROWS, places: int = PLACES) -> None:
        """file: where other processes find them; none for this process alone. rows, places: how many there are."""
        self._rows, self._width = rows, places * PLACE.size
        size = SALT + rows * self._width
        self._file = file.open("a+b") if file else None
        with self._locked():
            if self._file and self._file.seek(0, 2) < size:
                self._file.truncate(size)
            self._memory = mmap(self._file.fileno() if self._file else -1, size)
            if not any(self._memory[:SALT]):
                self._memory[:SALT] = token_bytes(SALT)
        self._salt = self._memory[:SALT]

    @contextmanager
    def of(self, key: str) -> Iterator[Level]:
        """The level of a key, to be read and changed while nobody else does."""
        digest = blake2b(key.encode(), digest_size=16, key=self._salt).digest()
        start = SALT + int.from_bytes(digest[:4]) % self._rows * self._width
        with self._locked():
            row = list(PLACE.iter_unpack(self._memory[start : start + self._width]))
            known = next((place for place, (whose, _, _) in enumerate(row) if whose == digest), None)
            level = Level(None, 0.0) if known is None else Level(*row[known][1:])
            yield level
            place = min(range(len(row)), key=lambda n: row[n][2]) if known is None else known
            if level.value is not None:
                PLACE.pack_into(self._memory, start + place * PLACE.size, digest, level.value, level.since)

    @contextmanager
    def _locked(self) -> Iterator[None]:
        """A process that ends lets go as well."""
        if self._file is None:
            yield
            return
        fcntl.flock(self._file, fcntl.LOCK_EX)
        try:
            yield
        finally:
            fcntl.flock(self._file, fcntl.LOCK_UN)
