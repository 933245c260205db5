"""Turns of writers: those of one process queue up in order, and the first of them queues with the other processes.

Waiting writers hold no connection, so readers always find one. PostgreSQL queues processes itself. SQLite makes them
retry at growing intervals, so a process with many writers of its own kept the others out for seconds. So two files
beside the database are locked: the next in line holds `-line`, the one who writes holds `-turn`. The system unlocks the
files of a process that dies. They are for order only: SQLite's own lock still keeps out a writer that does not queue.
"""

import asyncio
import fcntl
import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from splitline.store.faults import StoreUnavailable

ENDINGS = ("-line", "-turn")
"""Of the names of the files that are locked."""
# How often a locked file is tried again, s: a small part of what a turn takes.
STEP = 0.001


class Turns:
    """The turns of one process's writers."""

    def __init__(self, database: Path | None, patience: float) -> None:
        """database: SQLite's file, if it is one. patience: how long a writer waits, s."""
        self._paths = [Path(f"{database}{ending}") for ending in ENDINGS] if database else []
        self._patience = patience
        self._mine = asyncio.Lock()
        self._files: list[int] = []

    @asynccontextmanager
    async def turn(self) -> AsyncIterator[None]:
        """Wait for the turn and hold it. Raises `StoreUnavailable` when it does not come."""
        try:
            async with asyncio.timeout(self._patience):
                await self._mine.acquire()
                await self._take()
        except TimeoutError as fault:
            raise StoreUnavailable("the database is busy: too many wait for their turn to write") from fault
        try:
            yield
        finally:
            for turn in self._files[1:]:
                fcntl.flock(turn, fcntl.LOCK_UN)
            self._mine.release()

    async def _take(self) -> None:
        """Get into line, and out of it again when the turn has come."""
        try:
            self._open()
            if self._files:
                line, turn = self._files
                await _lock(line)
                try:
                    await _lock(turn)
                finally:
                    fcntl.flock(line, fcntl.LOCK_UN)
        except BaseException:
            self._mine.release()
            raise

    def _open(self) -> None:
        """Make the files, or go without where none can be made: on a full disk, or where nothing may be written."""
        with suppress(OSError):
            for path in self._paths[len(self._files) :]:
                # Read only: they may be another user's, who ran a command of ours here first.
                self._files.append(os.open(path, os.O_RDONLY | os.O_CREAT, 0o644))
            return
        self.close()

    def close(self) -> None:
        """Give the files back."""
        while self._files:
            os.close(self._files.pop())


async def _lock(file: int) -> None:
    while True:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except BlockingIOError:
            await asyncio.sleep(STEP)
