"""What the kernel knows of a server's connections (Linux)."""

import socket
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlsplit

from helpers.server_process import Served
from load.calls import processes


def answering(server: Served) -> int:
    """How many of a server's processes have client connections."""
    port = f":{urlsplit(server.url).port:04X}"
    rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()]
    open_ones = {f"socket:[{row[9]}]" for row in rows if row[1].endswith(port) and row[3] == "01"}
    return sum(any(name in open_ones for name in files_of(process)) for process in processes(server.process.pid))


def files_of(process: int) -> Iterator[str]:
    """The names of a process's open files; it may close some of them meanwhile."""
    for link in Path(f"/proc/{process}/fd").iterdir():
        with suppress(FileNotFoundError):
            yield str(link.readlink())


def wait_until_read(connection: socket.socket) -> None:
    """Wait until the other end has accepted a connection and read everything sent."""
    # Compare both ports: another test's connection may use the same local port.
    theirs, ours = (f":{name[1]:04X}" for name in (connection.getpeername(), connection.getsockname()))
    until = time.monotonic() + 60
    while time.monotonic() < until:
        rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()]
        # A connection not yet accepted has inode 0.
        found = [row for row in rows if row[1].endswith(theirs) and row[2].endswith(ours)]
        if any(row[4].endswith(":00000000") and row[9] != "0" for row in found):
            return
        time.sleep(0.01)
    raise AssertionError("the server does not read")
