"""Output files of commands. Every fault becomes one sentence."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from splitline.errors import Problem, SplitlineError, Unusable


class Unwritten(SplitlineError):
    """An open file could not be written further, for example because the disk is full."""


@contextmanager
def written(path: Path) -> Iterator[IO[bytes]]:
    """Open a file for writing. Raises `Unusable` if it cannot be opened, and `Unwritten` if writing fails later."""
    try:
        file = path.open("wb")
    except OSError as fault:
        raise Unusable([Problem("file_unwritable", str(path), fault.strerror or "")]) from fault
    try:
        with file:
            yield file
    except BrokenPipeError:
        raise
    except OSError as fault:
        raise Unwritten(f"{path} cannot be written: {fault.strerror or fault}") from fault
