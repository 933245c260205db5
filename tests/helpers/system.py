"""A real PostgreSQL server for tests, and free ports."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import sample
from typing import Any

from helpers.programs import MissingFromSystem, postgresql_bin

START_SECONDS = 60


@contextmanager
def postgresql_server(folder: Path | None = None) -> Iterator[str]:
    """A real, temporary PostgreSQL server on a free loopback port, without durability.

    folder: an empty folder for its data that the unprivileged user can reach; by default one of its own. Yields the
    URL of its database `postgres`, whose user may create others. Raises MissingFromSystem.
    """
    with postgresql_cluster(folder) as cluster:
        cluster.start()
        yield cluster.url


@contextmanager
def postgresql_cluster(folder: Path | None = None, durable: bool = False) -> Iterator["Cluster"]:
    """A temporary cluster that is not started yet, for tests that stop and start the server themselves.

    durable: commits are flushed to disk. Raises MissingFromSystem.
    """
    binaries = postgresql_bin()
    home = Path(tempfile.mkdtemp(prefix="splitline-postgresql-", dir=folder))
    user = unprivileged()
    if user:
        shutil.chown(home, user, pwd.getpwnam(user).pw_gid)
    cluster = Cluster(binaries, home, user, durable)
    try:
        cluster.make()
        yield cluster
    finally:
        cluster.stop()
        shutil.rmtree(home, ignore_errors=True)


class Cluster:
    """A PostgreSQL data folder and its server."""

    def __init__(self, binaries: Path, home: Path, user: str | None, durable: bool) -> None:
        self.binaries = binaries
        self.home = home
        self.port = free_port()
        self.url = f"postgresql://postgres@127.0.0.1:{self.port}/postgres"
        self._as_user: dict[str, Any] = (
            {"user": user, "group": pwd.getpwnam(user).pw_gid, "extra_groups": []} if user else {}
        )
        self._speed = () if durable else ("fsync", "synchronous_commit", "full_page_writes")
        self._server: subprocess.Popen[bytes] | None = None

    def make(self) -> None:
        """Initialise it. Raises MissingFromSystem."""
        options = ["-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync"]
        initdb = [self.binaries / "initdb", "-D", self.home / "data", *options]
        made = subprocess.run(initdb, cwd=self.home, capture_output=True, text=True, check=False, **self._as_user)
        if made.returncode != 0:
            raise MissingFromSystem(f"initdb failed: {made.stderr}")

    def start(self) -> None:
        """Start the server and wait until it accepts connections. Raises MissingFromSystem."""
        place = ["-D", self.home / "data", "-p", str(self.port), "-h", "127.0.0.1", "-k", self.home]
        command = [self.binaries / "postgres", *place, *(f"-c{name}=off" for name in self._speed)]
        with (self.home / "log").open("ab") as log:
            self._server = subprocess.Popen(command, cwd=self.home, stdout=log, stderr=log, **self._as_user)
        wait_until_ready(self.binaries, self.port, self._server, self.home / "log")

    def stop(self) -> None:
        """Stop the server as an operator would: PostgreSQL's fast shutdown closes open sessions."""
        self._end(signal.SIGINT)

    def kill(self) -> None:
        """Kill all its processes at once without writing anything: it must recover from its log."""
        self._end(signal.SIGQUIT)

    def _end(self, how: signal.Signals) -> None:
        if self._server:
            self._server.send_signal(how)
            self._server.wait(START_SECONDS)
            self._server = None


def wait_until_ready(binaries: Path, port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the server accepts connections. Raises MissingFromSystem if it exits or takes too long."""
    until = time.monotonic() + START_SECONDS
    ready = [binaries / "pg_isready", "-q", "-h", "127.0.0.1", "-p", str(port)]
    while time.monotonic() < until and server.poll() is None:
        if subprocess.run(ready, check=False).returncode == 0:
            return
        time.sleep(0.05)
    raise MissingFromSystem(f"PostgreSQL did not start:\n{log.read_text(errors='replace')}")


def unprivileged() -> str | None:
    """The user to run PostgreSQL as, because it refuses to run as root; None if we are not root."""
    if os.geteuid() != 0:
        return None
    users = {entry.pw_name for entry in pwd.getpwall()}
    return next((name for name in ("postgres", "nobody") if name in users), None)


def free_port() -> int:
    """A free loopback port outside the range that the system hands out to clients."""
    for port in sample(range(20_000, 32_000), 1000):
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port
    raise MissingFromSystem("there is no free port")
