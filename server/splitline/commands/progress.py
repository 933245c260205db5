"""How far a long command is: a bar on a terminal, nothing elsewhere."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(what: str, total: int | None) -> Iterator[Callable[[int], None]]:
    """Give a function that is told how much of `total` is done; the bar is on standard error.

    total: None where nobody can say how much there is.
    """
    if not sys.stderr.isatty():
        yield lambda _done: None
        return
    # Loaded only where it is seen.
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda done: progress.update(task, completed=done)
