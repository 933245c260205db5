"""`splitline serve` as a process of its own, for tests that need the real thing."""

import os
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from helpers.fork_server import Forked, can_fork, fork

START_SECONDS = 60
# For what asks as fast as it can.
UNLIMITED = ("--requests-a-minute", "0", "--records-a-minute", "0")
Server = Forked | subprocess.Popen[str]


@dataclass(frozen=True)
class Served:
    """A running server. errors: what it has written to standard error so far can be read there."""

    url: str
    process: Server
    errors: Path


@contextmanager
def served(
    folder: Path, *options: str, environment: Mapping[str, str] | None = None, anew: bool = False
) -> Iterator[Served]:
    """Serve from a data folder on a free port until the end of the block, then stop as a terminal would.

    anew: by a process that has nothing in its memory from another one.
    """
    errors = folder / "errors.txt"
    folder.mkdir(parents=True, exist_ok=True)
    arguments = ["serve", "--data", str(folder), "--port", "0", *options]
    with errors.open("w") as log:
        process = _start(arguments, os.environ if environment is None else environment, log, anew)
    try:
        yield Served(address_of(process, errors), process, errors)
    finally:
        process.terminate()
        # It lets what is under way take half a minute.
        process.wait(START_SECONDS)


def _start(arguments: list[str], environment: Mapping[str, str], log: IO[str], anew: bool) -> Server:
    # Several workers are started by Python itself, from the beginning.
    if can_fork(environment) and not anew and "--workers" not in arguments:
        return fork(arguments, environment, subprocess.PIPE, log.fileno())
    command = [sys.executable, "-m", "splitline", *arguments]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=log, text=True, env=environment)


def address_of(process: Server, errors: Path) -> str:
    """The address on the line that says that the server listens."""
    assert process.stdout
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        line = process.stdout.readline()
        if line.startswith("Splitline is listening on "):
            return line.split()[-1]
        if not line and process.poll() is not None:
            break
    raise AssertionError(f"the server did not start: {errors.read_text()}")
