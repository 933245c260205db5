"""Progress of a long command: a bar on a terminal, nothing elsewhere."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(what: str, total: int | None) -> Iterator[Callable[[int], None]]:
    """Yield a function to call with how much of `total` is done; the bar is on standard error.

    total: None if unknown.
    """
    if not sys.stderr.isatty():
        yield lambda _done: None
        return
    # Imported only when a bar is shown.
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(what, total=total)
        yield lambda done: progress.update(task, completed=done)
