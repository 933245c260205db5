"""What commands write into a file that is named. Every fault becomes one sentence."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from splitline.errors import Problem, SplitlineError, Unusable


class Unwritten(SplitlineError):
    """A file that could be opened took no more, as when its disk is full."""


@contextmanager
def written(path: Path) -> Iterator[IO[bytes]]:
    """Open a file to write. Raises `Unusable` where it cannot be opened, and `Unwritten` where it takes no more."""
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
