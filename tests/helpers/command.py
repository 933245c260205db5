"""Runs the `splitline` command in its own process, as another program would."""

import os
import pty
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence

from helpers.fork_server import can_fork, fork

PATIENCE = 120


def splitline(*arguments: str, environment: Mapping[str, str] = os.environ) -> subprocess.CompletedProcess[str]:
    """Run one command until it exits. Raises subprocess.TimeoutExpired."""
    if not can_fork(environment):
        command = [sys.executable, "-m", "splitline", *arguments]
        return subprocess.run(command, capture_output=True, text=True, check=False, env=environment, timeout=PATIENCE)
    return forked(arguments, environment)


def forked(
    arguments: Sequence[str],
    environment: Mapping[str, str] = os.environ,
    output: int | None = None,
    errors: int | None = None,
    closed: Sequence[int] = (),
    no_text: str = "strict",
) -> subprocess.CompletedProcess[str]:
    """Run one command until it exits.

    output, errors: where its streams go; by default they are captured. closed: numbers of streams that start closed.
    no_text: how bytes that are not text are decoded. Raises subprocess.TimeoutExpired.
    """
    with (
        tempfile.TemporaryFile("w+", errors=no_text) as written,
        tempfile.TemporaryFile("w+", errors=no_text) as said,
    ):
        streams = (written.fileno() if output is None else output, said.fileno() if errors is None else errors)
        process = fork(arguments, environment, *streams, closed)
        try:
            status = process.wait(PATIENCE)
        finally:
            process.kill()
        written.seek(0)
        said.seek(0)
        return subprocess.CompletedProcess(arguments, status, written.read(), said.read())


def on_terminal(*arguments: str) -> tuple[int, bytes]:
    """Run one command with a terminal as standard error; return its status and what the terminal showed."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "splitline", *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, env={**os.environ, "TERM": "xterm"}) as ran:
        os.close(theirs)
        shown = b""
        while True:
            try:
                part = os.read(ours, 4096)
            except OSError:  # Linux raises this when the other end is closed
                break
            if not part:
                break
            shown += part
    os.close(ours)
    return ran.returncode, shown
