"""Runs `splitline serve` in its own process, for tests that need a real server."""

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
# For tests that send as fast as they can.
UNLIMITED = ("--requests-a-minute", "0", "--records-a-minute", "0")
Server = Forked | subprocess.Popen[str]


@dataclass(frozen=True)
class Served:
    """A running server. errors: the file with its standard error."""

    url: str
    process: Server
    errors: Path


@contextmanager
def served(
    folder: Path, *options: str, environment: Mapping[str, str] | None = None, anew: bool = False
) -> Iterator[Served]:
    """Serve a data folder on a free port until the end of the block, then stop the server with SIGTERM.

    anew: start a new Python process instead of forking one.
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
        # Requests in progress get half a minute to finish.
        process.wait(START_SECONDS)


def _start(arguments: list[str], environment: Mapping[str, str], log: IO[str], anew: bool) -> Server:
    # Worker processes are started by Python itself and cannot be forked.
    if can_fork(environment) and not anew and "--workers" not in arguments:
        return fork(arguments, environment, subprocess.PIPE, log.fileno())
    command = [sys.executable, "-m", "splitline", *arguments]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=log, text=True, env=environment)


def address_of(process: Server, errors: Path) -> str:
    """Wait for the line that says that the server is listening, and return its address."""
    assert process.stdout
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        line = process.stdout.readline()
        if line.startswith("Splitline is listening on "):
            return line.split()[-1]
        if not line and process.poll() is not None:
            break
    raise AssertionError(f"the server did not start: {errors.read_text()}")
