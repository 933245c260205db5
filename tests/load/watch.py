"""A server's resources during a measurement: processor time, memory, and the share of other programs."""

import asyncio
import os
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager

from load.calls import cpu_seconds, machine_seconds, memory_of_all, settle

EVERY = 0.5
"""Seconds between two memory samples."""


class Watch:
    """Watches one server. idle, busy: memory of all its processes, MB.

    others, client: the largest share of the machine used by other programs and by this one, 0..1.
    """

    def __init__(self, server: int, postmaster: int | None) -> None:
        """server, postmaster: processes; PostgreSQL's counts as computing, not as memory."""
        self._server = server
        self._computing = [server, *([postmaster] if postmaster else [])]
        self.idle = self.busy = self.memory()
        self.others = self.client = 0.0

    def computed(self) -> float:
        """Return the processor time of server and database so far, s."""
        return sum(cpu_seconds(process) for process in self._computing)

    def memory(self) -> float:
        """Return the memory of all its processes now, MB."""
        return memory_of_all(self._server)

    def settle(self) -> None:
        """Wait until the server is idle."""
        settle(self._server)

    @asynccontextmanager
    async def remembering(self) -> AsyncIterator[None]:
        """Record the peak memory during the block."""
        looking = asyncio.create_task(self._look())
        try:
            yield
        finally:
            looking.cancel()

    @contextmanager
    def sharing(self) -> Iterator[None]:
        """Record the share of other programs during the block."""
        start, others, client = time.perf_counter(), self._of_others(), time.process_time()
        yield
        spent = (time.perf_counter() - start) * (os.cpu_count() or 1)
        self.others = max(self.others, (self._of_others() - others) / spent)
        self.client = max(self.client, (time.process_time() - client) / spent)

    def _of_others(self) -> float:
        return machine_seconds() - self.computed() - time.process_time()

    async def _look(self) -> None:
        while True:
            self.busy = max(self.busy, self.memory())
            await asyncio.sleep(EVERY)
