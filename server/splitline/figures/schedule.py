"""Schedules updates of figures: soon after every change, outside requests, and once a day for the season.

While records come in, updates take at most a tenth of the time, computing included, so that a backlog slows no sender;
otherwise they run until nothing is stale.
"""

import asyncio
import logging
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from time import monotonic

from splitline.figures.compute import MADE
from splitline.figures.update import Update
from splitline.figures.worker import Computer, Here
from splitline.store import sequence, stale
from splitline.store.engine import Store
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable
from splitline.store.rows import day_of

LOOK = 1.0
"""Seconds between polls of the queue, with or without a notification."""
IDLE = 60.0
"""Seconds without work after which the worker process is stopped."""
BUSY = 0.2
"""Seconds; with two arrivals within this time the schedule slows down."""
SHARE = 0.1
BEHIND = 60.0
"""Seconds; stale figures older than this are logged."""

FAULTS = (StoreUnavailable, StoreFull, StoreDamaged, OSError, EOFError)
log = logging.getLogger(__name__)


async def bring_up(store: Store, now: Callable[[], datetime]) -> None:
    """Update everything that is stale now, in this process. Raises `StoreUnavailable`.

    Does not wait for records that arrive meanwhile: they may come faster than this computes.
    """
    update = Update(store, Here().compute, now)
    async with store.read() as connection:
        # Figures that went stale again before this point are queued from the change after the last one.
        upto = (await sequence.head(connection)).value + 1
    while await _is_stale(store, upto):
        await update.some()


async def _is_stale(store: Store, upto: int) -> bool:
    async with store.read() as connection:
        first = await stale.first(connection)
    return first is not None and first <= upto


class Schedule:
    """Updates the figures of a store beside a server. now: the server's clock; took: called with a step's time, s."""

    def __init__(
        self,
        store: Store,
        computer: Computer,
        now: Callable[[], datetime],
        took: Callable[[float], None] = lambda _: None,
    ) -> None:
        self._store = store
        self._now = now
        self._computer = computer
        self._took = took
        self._update = Update(store, computer.compute, now)
        self._called = asyncio.Event()
        self._records_at = self._records_before = self._worked_at = self._logged_at = float("-inf")
        self._day = 0
        self._is_behind = False

    def records_came(self) -> None:
        """Notify that records were stored: there may be work, and requests go first."""
        self._records_before, self._records_at = self._records_at, monotonic()
        self._called.set()

    async def run(self) -> None:
        """Run until cancelled. A failed step is retried at the next poll."""
        try:
            while True:
                with suppress(TimeoutError):
                    await self._call_within(LOOK)
                self._called.clear()
                try:
                    await self.catch_up()
                except FAULTS as fault:
                    log.warning("figures could not be brought up to date: %s", fault)
                    await asyncio.sleep(LOOK)
                except Exception:
                    # A bug must not stop the schedule for good.
                    log.exception("figures could not be brought up to date")
                    await asyncio.sleep(IDLE)
        finally:
            await self._computer.stop()

    async def catch_up(self) -> None:
        """Update what is stale, unless another process is doing so. Raises what the store raises."""
        if await self._is_due():
            async with self._store.refreshing() as is_ours:
                if not is_ours:
                    return
                await self._turn_the_day()
                while await self._some():
                    await self._log_backlog()
                self._logged_at = float("-inf")
                await self._log_backlog()
        elif monotonic() - self._worked_at > IDLE:
            await self._computer.stop()

    async def _is_due(self) -> bool:
        if self._day != day_of(self._now()):
            return True
        async with self._store.read() as connection:
            return any(await stale.waiting(connection))

    async def _some(self) -> bool:
        """One step, and a pause after it while records come in."""
        begun = monotonic()
        is_more = await self._update.some()
        ended = monotonic()
        if not is_more:
            return False
        self._worked_at = ended
        self._took(ended - begun)
        if ended - self._records_before < BUSY:
            await self._rest((ended - begun) * (1.0 / SHARE - 1.0))
        return True

    async def _rest(self, seconds: float) -> None:
        """Pause while records come in."""
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                while True:
                    self._called.clear()
                    await self._call_within(BUSY)

    async def _call_within(self, seconds: float) -> None:
        """Wait until records come. `asyncio.wait_for` would ignore a cancellation that comes right after them."""
        async with asyncio.timeout(seconds):
            await self._called.wait()

    async def _turn_the_day(self) -> None:
        """Mark all figures stale once a day, for the season, and at the start those from an earlier estimator."""
        today = day_of(self._now())
        if today == self._day:
            return
        async with self._store.read() as connection:
            old = await stale.outdated(connection, today, MADE)
        if any(old.values()):
            async with self._store.write() as connection:
                since = (await sequence.head(connection)).value + 1
                stamp = -await sequence.count_figures(connection, self._now())
                for kind, keys in old.items():
                    await stale.note(connection, kind, keys, since, stamp, self._now())
        self._day = today

    async def _log_backlog(self) -> None:
        """Log when figures fall behind and when they have caught up; once per `LOOK`, since counting is slow."""
        if monotonic() - self._logged_at < LOOK:
            return
        self._logged_at = monotonic()
        async with self._store.read() as connection:
            left = await stale.backlog(connection)
        age = (self._now() - left.at).total_seconds() if left.at else 0.0
        if (age > BEHIND) != self._is_behind:
            self._is_behind = age > BEHIND
            message = "figures fall behind" if self._is_behind else "figures have caught up"
            log.warning("%s: %d stale, the oldest for %.0f s", message, left.keys, age)
