"""Sequential calls over persistent connections, and the memory and processor time of a process tree."""

import http.client
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit


@dataclass(frozen=True)
class Call:
    """One request."""

    method: str
    path: str
    body: bytes | None = None
    headers: tuple[tuple[str, str], ...] = ()


def quantile(times: Sequence[float], share: float) -> float:
    """The value that this share of the values do not exceed."""
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def answer(connection: http.client.HTTPConnection, call: Call) -> bytes:
    """Make one call and return the answer's body."""
    connection.request(call.method, call.path, call.body, dict(call.headers))
    response = connection.getresponse()
    body = response.read()
    assert response.status == 200, (response.status, body[:500])
    return body


def connected(url: str) -> http.client.HTTPConnection:
    """A persistent connection."""
    address = urlsplit(url)
    return http.client.HTTPConnection(address.hostname or "", address.port or 80, timeout=120)


def settle(top: int) -> None:
    """Wait until a server is idle, after its start or after requests."""
    busy = True
    while busy:
        before = cpu_seconds(top)
        time.sleep(0.5)
        busy = cpu_seconds(top) - before > 0.05


def processes(top: int) -> list[int]:
    """A process and all its descendants."""
    found = [top]
    for process in found:
        # A process may end meanwhile.
        with suppress(FileNotFoundError, ProcessLookupError):
            for task in Path(f"/proc/{process}/task").iterdir():
                found += [int(child) for child in (task / "children").read_text().split()]
    return found


def memory(process: int) -> float:
    """A process's resident memory, MB."""
    line = next(line for line in Path(f"/proc/{process}/status").read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def memory_of_all(top: int) -> float:
    """The memory of a process tree, MB; shared memory is counted once (PSS)."""
    total = 0
    for text in _of_all(top, "smaps_rollup"):
        total += sum(int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:"))
    return total / 1024


def cpu_seconds(top: int) -> float:
    """Processor time of a process tree so far, including ended processes, s.

    Other programs hardly affect it.
    """
    total = 0
    for text in _of_all(top, "stat"):
        total += sum(int(field) for field in text.rpartition(")")[2].split()[11:15])
    return total / os.sysconf("SC_CLK_TCK")


def machine_seconds() -> float:
    """Processor time of the whole machine so far, s."""
    fields = [int(field) for field in Path("/proc/stat").read_text().splitlines()[0].split()[1:9]]
    idle, waiting = fields[3:5]
    return (sum(fields) - idle - waiting) / os.sysconf("SC_CLK_TCK")


def _of_all(top: int, file: str) -> Iterator[str]:
    for process in processes(top):
        with suppress(FileNotFoundError, ProcessLookupError):
            yield Path(f"/proc/{process}/{file}").read_text()
