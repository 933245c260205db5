"""Many calls over a few kept-open connections, timed; and what a process tree costs."""

import http.client
import os
import time
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, SimpleQueue
from urllib.parse import urlsplit


@dataclass(frozen=True)
class Call:
    """One request."""

    method: str
    path: str
    body: bytes | None = None
    headers: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Timed:
    """How long each call took, and all together, s; bytes: of the answers."""

    each: list[float]
    together: float
    bytes: int

    def quantile(self, share: float) -> float:
        """The time that this share of the calls kept to."""
        return quantile(self.each, share)


def quantile(times: Sequence[float], share: float) -> float:
    """The value that a share of the values do not exceed."""
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def timed(url: str, calls: Iterable[Call], connections: int) -> Timed:
    """Make all calls, each connection the next one that is left. Raises AssertionError for any answer but 200."""
    waiting: SimpleQueue[Call] = SimpleQueue()
    for call in calls:
        waiting.put(call)
    start = time.perf_counter()
    with ThreadPoolExecutor(connections) as pool:
        done = list(pool.map(lambda _: _on_one(url, waiting), range(connections)))
    together = time.perf_counter() - start
    return Timed([spent for times, _ in done for spent in times], together, sum(size for _, size in done))


def answer(connection: http.client.HTTPConnection, call: Call) -> bytes:
    """Make one call and return the body of its answer."""
    connection.request(call.method, call.path, call.body, dict(call.headers))
    response = connection.getresponse()
    body = response.read()
    assert response.status == 200, (response.status, body[:500])
    return body


def connected(url: str) -> http.client.HTTPConnection:
    """A connection that is kept open."""
    address = urlsplit(url)
    return http.client.HTTPConnection(address.hostname or "", address.port or 80, timeout=120)


def _on_one(url: str, waiting: SimpleQueue[Call]) -> tuple[list[float], int]:
    connection = connected(url)
    times, size = [], 0
    while True:
        try:
            call = waiting.get_nowait()
        except Empty:
            connection.close()
            return times, size
        start = time.perf_counter()
        size += len(answer(connection, call))
        times.append(time.perf_counter() - start)


def settle(top: int) -> None:
    """Wait until a server has nothing left to do of its start: it listens before all its workers take requests."""
    busy = True
    while busy:
        before = cpu_seconds(top)
        time.sleep(0.5)
        busy = cpu_seconds(top) - before > 0.05


def processes(top: int) -> list[int]:
    """A process and all below it."""
    found = [top]
    for process in found:
        for task in Path(f"/proc/{process}/task").iterdir():
            found += [int(child) for child in (task / "children").read_text().split()]
    return found


def memory(process: int) -> float:
    """What a process keeps in memory, MB."""
    line = next(line for line in Path(f"/proc/{process}/status").read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def cpu_seconds(top: int) -> float:
    """What a process and all below it have computed so far, s: noise of other programs hardly shows in it."""
    total = 0
    for process in processes(top):
        fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
        # Of itself, and of its children that have ended.
        total += sum(map(int, fields[11:15]))
    return total / os.sysconf("SC_CLK_TCK")
