"""The worker process that computes figures for a server: started when something is stale, stopped when idle.

Jobs and results pass through its standard input and output, each preceded by its length. It exits when its input ends,
so it never outlives a server that was killed.
"""

import asyncio
import os
import sys
from asyncio.subprocess import PIPE, Process
from contextlib import suppress
from struct import Struct as Layout
from typing import Protocol

from msgspec import msgpack

from splitline.figures.compute import Found, Job, compute

LENGTH = Layout("<Q")
LARGEST = 2**20
"""Buffer for results waiting to be read, bytes."""
# One of several workers leaves its children the server's socket, which must be free once the server is gone.
PROGRAM = """import os
os.closerange(3, os.sysconf("SC_OPEN_MAX"))
from splitline.figures.worker import main
main()
"""
PATIENT = 19
"""The highest niceness, so that requests go first."""


class Computer(Protocol):
    """Computes figures."""

    async def compute(self, job: Job) -> Found:
        """Return the result of a job."""

    async def stop(self) -> None:
        """Stop everything that is running."""


class Worker:
    """The worker process of one server, started on demand."""

    def __init__(self) -> None:
        self._process: Process | None = None

    async def compute(self, job: Job) -> Found:
        """Compute in the worker. Raises `OSError` if it cannot be started, `EOFError` if it dies."""
        process = await self._running()
        assert process.stdin, "it was started with pipes"
        assert process.stdout, "both ways"
        text, is_whole = msgpack.encode(job), False
        try:
            process.stdin.write(LENGTH.pack(len(text)))
            process.stdin.write(text)
            await process.stdin.drain()
            (length,) = LENGTH.unpack(await process.stdout.readexactly(LENGTH.size))
            found = msgpack.decode(await process.stdout.readexactly(length), type=Found)
            is_whole = True
            return found
        except Exception as fault:
            # The exception for a broken pipe depends on the event loop.
            raise EOFError(f"the process that computes them ended: {fault}") from fault
        finally:
            if not is_whole:
                await self.stop()

    async def stop(self) -> None:
        """Kill the process."""
        process, self._process = self._process, None
        if process is not None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()

    async def _running(self) -> Process:
        if self._process is None or self._process.returncode is not None:
            self._process = await asyncio.create_subprocess_exec(
                sys.executable, "-c", PROGRAM, stdin=PIPE, stdout=PIPE, limit=LARGEST
            )
        return self._process


class Here:
    """Computes in a thread of this process: for commands, where no requests wait."""

    async def compute(self, job: Job) -> Found:
        """Compute it."""
        return await asyncio.to_thread(compute, job)

    async def stop(self) -> None:
        """Nothing to stop."""


def main() -> None:
    """Answer jobs until there are no more."""
    os.nice(PATIENT)
    decode = msgpack.Decoder(Job).decode
    with suppress(KeyboardInterrupt, BrokenPipeError):
        # A truncated job means that the server is gone.
        while len(head := sys.stdin.buffer.read(LENGTH.size)) == LENGTH.size:
            (length,) = LENGTH.unpack(head)
            if len(job := sys.stdin.buffer.read(length)) < length:
                return
            text = msgpack.encode(compute(decode(job)))
            sys.stdout.buffer.write(LENGTH.pack(len(text)) + text)
            sys.stdout.buffer.flush()
