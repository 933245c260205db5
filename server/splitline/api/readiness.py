"""Whether the database takes a write: tried when somebody asks, and not more often than it can have changed."""

import asyncio
from collections.abc import Callable
from time import monotonic

from splitline.errors import SplitlineError
from splitline.store import sequence
from splitline.store.engine import Store
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable

READY, UNREADY = 30.0, 3.0
"""Seconds for which the outcome of a try counts. A try that goes well writes one page, 4 kB, to the disk."""
PATIENCE = 5.0
"""Seconds after which nobody waits for a try any longer; a writer's turn may take more."""


class Readiness:
    """The last try to write, and the one under way."""

    def __init__(self, store: Store, clock: Callable[[], float] = monotonic) -> None:
        self._store, self._clock = store, clock
        self._fault: SplitlineError | None = None
        self._until = float("-inf")
        self._trying: asyncio.Task[None] | None = None

    async def check(self) -> None:
        """Raise `StoreUnavailable`, `StoreFull` or `StoreDamaged` unless the database takes a write."""
        if self._trying is None and self._clock() >= self._until:
            self._trying = asyncio.create_task(self._try())
        if self._trying is not None and not (await asyncio.wait({self._trying}, timeout=PATIENCE))[0]:
            raise StoreUnavailable(f"no turn to write came within {PATIENCE:g} s")
        if self._fault is not None:
            raise self._fault

    async def _try(self) -> None:
        try:
            async with self._store.write() as connection:
                await sequence.touch(connection)
            self._fault = None
        except (StoreUnavailable, StoreFull, StoreDamaged) as fault:
            self._fault = fault
        finally:
            self._trying = None
        self._until = self._clock() + (UNREADY if self._fault else READY)
