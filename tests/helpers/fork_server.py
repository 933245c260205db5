"""Starts `splitline` in a few hundredths of a second: a process that has imported everything forks for each start.

A normal start takes a second of processor time, nearly all of it imports, and the tests start about 170 servers and
commands. A forked process has the files, environment, working directory and umask that it is given, and Python's own
signal handlers, and it ends without taking apart what it shares; otherwise it is like one started normally. Tests
about startup, memory or worker processes start the server normally.
"""

import atexit
import gc
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path
from runpy import run_path
from typing import IO, NoReturn

from splitline.regions import regions

COMMANDS = ("backup", "blend", "content", "export", "intake", "restore", "review", "serve", "steadiness")
# Modules imported late: while a server starts, or at the first use of a database.
LATE = (
    "aiosqlite",
    "alembic.command",
    "alembic.config",
    "alembic.context",
    "anyio._backends._asyncio",
    "asyncpg",
    "litestar.exceptions.responses._debug_response",
    "litestar.middleware.response_cache",
    "litestar.plugins.attrs",
    "pythonjsonlogger.json",
    "rich.progress",
    "splitline.app",
    "splitline.checking.wording",
    "splitline.cli",
    "sqlalchemy.dialects.postgresql.asyncpg",
    "sqlalchemy.dialects.sqlite.aiosqlite",
    "uvicorn.lifespan.on",
    "uvicorn.loops.uvloop",
    "uvicorn.protocols.http.auto",
    "uvicorn.protocols.websockets.auto",
)
LARGEST = 1 << 20


class Forked:
    """A forked `splitline` process with the interface of `subprocess.Popen`. stdout: None unless it is a pipe."""

    def __init__(self, pid: int, said: socket.socket, stdout: IO[str] | None) -> None:
        self.pid = pid
        self.stdout = stdout
        self.returncode: int | None = None
        self._said = said

    def wait(self, timeout: float | None = None) -> int:
        """Return the exit status, negative after a signal. Raises subprocess.TimeoutExpired."""
        if self.returncode is None:
            self._said.settimeout(timeout)
            try:
                self.returncode = int(self._said.recv(LARGEST))
            except (TimeoutError, BlockingIOError):
                raise subprocess.TimeoutExpired("splitline", timeout or 0) from None
            self._said.close()
        return self.returncode

    def poll(self) -> int | None:
        """Return the exit status, or None while it is running."""
        with suppress(subprocess.TimeoutExpired):
            self.wait(0)
        return self.returncode

    def send_signal(self, which: int) -> None:
        """Send a signal unless the process has ended."""
        if self.poll() is None:
            os.kill(self.pid, which)

    def terminate(self) -> None:
        """Ask it to stop."""
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        """Kill it at once."""
        self.send_signal(signal.SIGKILL)


def can_fork(environment: Mapping[str, str]) -> bool:
    """Whether Python would start the same way here; with other PYTHON variables it might import other modules."""
    return of_python(environment) == of_python(os.environ)


def of_python(environment: Mapping[str, str]) -> dict[str, str]:
    """The environment variables that affect Python itself."""
    return {name: value for name, value in environment.items() if name.startswith("PYTHON")}


def fork(
    arguments: Sequence[str], environment: Mapping[str, str], stdout: int, stderr: int, closed: Sequence[int] = ()
) -> Forked:
    """Start `splitline`, or a script if the first argument is one.

    stdout, stderr: open files, or PIPE for stdout; closed: streams (0 to 2) that start closed.
    """
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    umask = os.umask(0)
    os.umask(umask)
    reading, writing = os.pipe() if stdout == subprocess.PIPE else (None, stdout)
    task = json.dumps([list(arguments), dict(environment), str(Path.cwd()), umask, list(closed)]).encode()
    socket.send_fds(_forker(), [task], [0, writing, stderr, theirs.fileno()])
    theirs.close()
    output = None
    if reading is not None:
        os.close(writing)
        output = open(reading, encoding="utf-8")  # noqa: PTH123, SIM115 - a pipe, read as long as the process lives
    return Forked(int(ours.recv(LARGEST)), ours, output)


@cache
def _forker() -> socket.socket:
    """The socket to the fork server, which exits when this process does."""
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    command = [sys.executable, __file__, str(theirs.fileno())]
    process = subprocess.Popen(command, pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL)
    theirs.close()

    def end() -> None:
        ours.close()
        process.wait()

    atexit.register(end)
    return ours


def main() -> int:
    """Fork on request until the tests end; in a forked process, run the command."""
    control = socket.socket(fileno=int(sys.argv[1]))
    for name in (*(f"splitline.commands.{command}" for command in COMMANDS), *LATE):
        import_module(name)
    regions()  # the outlines are read once in a process
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C in a terminal is for the tests
    gc.collect()
    gc.freeze()
    while True:
        task, files, _, _ = socket.recv_fds(control, LARGEST, 4)
        with suppress(ChildProcessError):
            while os.waitpid(-1, os.WNOHANG)[0]:
                pass
        if not task:
            return 0
        if os.fork() == 0:
            control.close()
            _mind(task, files)
        for file in files:
            os.close(file)


def _mind(task: bytes, files: list[int]) -> NoReturn:
    """Fork again; report that process's number and, at the end, its status; in that process, run the command."""
    said = socket.socket(fileno=files.pop())
    command = os.fork()
    if command == 0:
        said.close()
        _end(_run(task, files))
    for file in files:
        os.close(file)
    said.send(str(command).encode())
    _, status = os.waitpid(command, 0)
    with suppress(OSError):
        said.send(str(os.waitstatus_to_exitcode(status)).encode())
    os._exit(0)


def _run(task: bytes, files: list[int]) -> int:
    arguments, environment, folder, umask, closed = json.loads(task)
    for number, file in enumerate(files):
        os.dup2(file, number)
        os.close(file)
    for number in closed:
        os.close(number)
        setattr(sys, ("stdin", "stdout", "stderr")[number], None)  # as Python finds it when it starts
    signal.signal(signal.SIGINT, signal.default_int_handler)
    os.umask(umask)
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    time.tzset()
    if arguments[0].endswith(".py"):
        sys.argv = arguments
        run_path(arguments[0], run_name="__main__")
        return 0
    sys.argv = ["splitline", *arguments]
    return int(import_module("splitline.cli").main(arguments))


def _end(status: int) -> NoReturn:
    """End as Python does, but without taking every module apart: that would copy the memory shared by all."""
    threading._shutdown()  # type: ignore[attr-defined]  # waits for threads
    atexit._run_exitfuncs()
    gc.collect()  # reports tasks that were left unfinished
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except OSError:
        status = 120
    os._exit(status)


if __name__ == "__main__":
    sys.exit(main())
