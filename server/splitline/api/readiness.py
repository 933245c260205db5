"""Whether the database accepts a write: tested on request, and no more often than needed."""

import asyncio
from collections.abc import Callable
from time import monotonic

from splitline.errors import SplitlineError
from splitline.store import sequence
from splitline.store.engine import Store
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable

READY, UNREADY = 30.0, 3.0
"""Seconds for which a test's outcome is valid. A successful test writes one page, 4 kB, to the disk."""
PATIENCE = 5.0
"""Seconds that a request waits for a test; the write lock itself may take longer."""


class Readiness:
    """The last write test, and the one under way."""

    def __init__(self, store: Store, clock: Callable[[], float] = monotonic) -> None:
        self._store, self._clock = store, clock
        self._fault: SplitlineError | None = None
        self._until = float("-inf")
        self._trying: asyncio.Task[None] | None = None

    async def check(self) -> None:
        """Raise `StoreUnavailable`, `StoreFull` or `StoreDamaged` unless the database accepts a write."""
        if self._trying is None and self._clock() >= self._until:
            self._trying = asyncio.create_task(self._try())
        if self._trying is not None and not (await asyncio.wait({self._trying}, timeout=PATIENCE))[0]:
            raise StoreUnavailable(f"no write lock within {PATIENCE:g} s")
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
