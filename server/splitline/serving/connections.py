"""Limits on the connections of one process: how many, how long each may take, and which are closed to make space.

A connection that waits for its client costs the server only a slot, and costs an attacker nothing. So each stage in
which the server waits has a time limit, and an address may open only so many connections. When all slots are taken, the
connection that has kept the server waiting longest is closed: an honest one leaves that queue with its first packets.
Connections that wait for the server itself are never closed for another.
"""

import resource
from collections.abc import Callable, Sequence
from enum import Enum
from itertools import takewhile
from time import monotonic
from typing import Protocol

from splitline.api.rate_limit import household
from splitline.config import Network

MOST = 4096
"""Connections per process. 1,000 half-open ones took 4 MB."""
FILES = 192
"""Open files reserved for other uses: the database, pictures, computing, operations."""
LEAST = 32
"""Smallest number of connections allowed."""
OPERATIONS = 64
"""Connections at the operations address."""


class Stage(Enum):
    """What a connection is waiting for."""

    HEAD = "head"  # the request's headers, or before them the TLS handshake
    REST = "rest"  # the rest of a body that is ignored, since the request has been answered
    SENDING = "sending"  # the client, to read what is sent to it
    IDLE = "idle"  # the next request
    BUSY = "busy"  # the server; reading a body has its own limit, see `api.reading`


SECONDS = {Stage.REST: 30.0, Stage.SENDING: 60.0, Stage.IDLE: 60.0}
"""Time limit of each stage, s, except HEAD, which is a setting. uvicorn closes an idle connection sooner."""
FIRST_TO_GO = (Stage.HEAD, Stage.REST, Stage.IDLE, Stage.SENDING)


class Client(Protocol):
    """A client at the other end of a connection. stage, name: set here by `Connections` only."""

    stage: Stage | None
    name: str | None

    def cut(self) -> None:
        """Be disconnected now."""

    def late(self) -> bool:
        """Be told that a stage has timed out; return whether to allow as long again."""


class Connections:
    """Open connections, by stage in the order in which they entered it, and by address."""

    def __init__(
        self,
        most: int,
        each: int,
        head_seconds: float,
        proxies: Sequence[Network],
        clock: Callable[[], float] = monotonic,
    ) -> None:
        """most: in total; each: per address, 0 for no limit; proxies: networks exempt from that. clock: s."""
        self._most, self._each, self._proxies, self._clock = most, each, proxies, clock
        self._seconds = {**SECONDS, Stage.HEAD: head_seconds}
        self._stages: dict[Stage, dict[Client, float]] = {stage: {} for stage in Stage}
        self._by_name: dict[str, dict[Client, None]] = {}

    def __len__(self) -> int:
        """Number of open connections."""
        return sum(map(len, self._stages.values()))

    def enter(self, client: Client, host: str) -> bool:
        """Accept a client, in place of a waiting one if necessary; False if there is no slot."""
        name = household(host, self._proxies)
        own = self._by_name.get(name, {}) if name else {}
        if self._each and len(own) >= self._each and not self._cut_first(own):
            return False
        if len(self) >= min(self._most, room()) and not self._cut_first():
            return False
        if name:
            self._by_name.setdefault(name, {})[client] = None
        client.name, client.stage = name, Stage.HEAD
        self._stages[Stage.HEAD][client] = self._clock()
        return True

    def move(self, client: Client, stage: Stage) -> None:
        """Start a stage, or restart the same one."""
        if client.stage is not None:
            del self._stages[client.stage][client]
            self._stages[stage][client] = self._clock()
            client.stage = stage

    def leave(self, client: Client) -> None:
        """Remove a client whose connection has ended or is about to."""
        if client.stage is None:
            return
        del self._stages[client.stage][client]
        client.stage = None
        if client.name:
            own = self._by_name[client.name]
            del own[client]
            if not own:
                del self._by_name[client.name]

    def sweep(self) -> None:
        """Notify clients whose stage has timed out."""
        now = self._clock()
        for stage, seconds in self._seconds.items():
            begun = self._stages[stage].items()
            late = [client for client, since in takewhile(lambda one: one[1] + seconds <= now, begun)]  # noqa: B023
            for client in late:
                if client.late():
                    self.move(client, stage)

    def _cut_first(self, own: dict[Client, None] | None = None) -> bool:
        """Disconnect whoever has kept the server waiting longest, overall or at an address; False if nobody does."""
        for stage in FIRST_TO_GO:
            waiting = self._stages[stage]
            found = next((client for client in (waiting if own is None else own) if client in waiting), None)
            if found is not None:
                found.cut()
                self.leave(found)
                return True
        return False


def room() -> int:
    """The number of connections the system allows besides other files; the limit can change at run time."""
    files = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    return MOST if files == resource.RLIM_INFINITY else max(LEAST, files - FILES)


def take_files() -> None:
    """Raise the limit on open files as far as needed and allowed: many systems start with 1,024."""
    taken, allowed = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST + FILES if allowed == resource.RLIM_INFINITY else min(MOST + FILES, allowed)
    if taken != resource.RLIM_INFINITY and taken < wanted:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, allowed))
