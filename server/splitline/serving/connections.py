"""The connections of one process: how many there may be, how long each may take, and which go first for want of room.

A connection that waits for its client costs the server nothing but its place, and costs whoever opens it nothing at
all. So each stage in which the server waits has an end, an address has so many connections and no more, and when there
is no room the connection goes that has kept us waiting the longest: an honest one leaves that queue with its first
packets. What the server itself works on is never cut short for another.
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
"""Connections of a process. 1,000 half-open ones took 4 MB."""
FILES = 192
"""Open files that are kept for others than the public: the database, pictures, computing, operations."""
LEAST = 32
"""Connections that there is room for in any case."""
OPERATIONS = 64
"""Connections at the address for operations."""


class Stage(Enum):
    """What a connection waits for."""

    HEAD = "head"  # the headers of a request, and before them the handshake of TLS
    REST = "rest"  # the rest of a body that is of no interest any more: it has its answer
    SENDING = "sending"  # the client, to take what is sent to it
    IDLE = "idle"  # the next request
    BUSY = "busy"  # us; a body that is read has a limit of its own, see `api.reading`


SECONDS = {Stage.REST: 30.0, Stage.SENDING: 60.0, Stage.IDLE: 60.0}
"""How long each may take, but for HEAD, which is a setting. An idle connection is closed by uvicorn before."""
FIRST_TO_GO = (Stage.HEAD, Stage.REST, Stage.IDLE, Stage.SENDING)


class Client(Protocol):
    """Somebody at the other end of a connection. stage, name: kept here by `Connections`, which alone changes them."""

    stage: Stage | None
    name: str | None

    def cut(self) -> None:
        """Be cut off now."""

    def late(self) -> bool:
        """Hear that a stage has taken too long; return whether it may take as long again."""


class Connections:
    """Those that are open now, by stage in the order in which they came to it, and by address."""

    def __init__(
        self,
        most: int,
        each: int,
        head_seconds: float,
        proxies: Sequence[Network],
        clock: Callable[[], float] = monotonic,
    ) -> None:
        """most: all together; each: of one address, 0 for no limit; proxies: networks that have none. clock: s."""
        self._most, self._each, self._proxies, self._clock = most, each, proxies, clock
        self._seconds = {**SECONDS, Stage.HEAD: head_seconds}
        self._stages: dict[Stage, dict[Client, float]] = {stage: {} for stage in Stage}
        self._by_name: dict[str, dict[Client, None]] = {}

    def __len__(self) -> int:
        """How many there are."""
        return sum(map(len, self._stages.values()))

    def enter(self, client: Client, host: str) -> bool:
        """Let somebody in, if need be in the place of somebody who waits; False if there is no room."""
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
        """Begin a stage, also the same one anew."""
        if client.stage is not None:
            del self._stages[client.stage][client]
            self._stages[stage][client] = self._clock()
            client.stage = stage

    def leave(self, client: Client) -> None:
        """Forget somebody whose connection has ended, or is about to."""
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
        """Tell those who have taken too long."""
        now = self._clock()
        for stage, seconds in self._seconds.items():
            begun = self._stages[stage].items()
            late = [client for client, since in takewhile(lambda one: one[1] + seconds <= now, begun)]  # noqa: B023
            for client in late:
                if client.late():
                    self.move(client, stage)

    def _cut_first(self, own: dict[Client, None] | None = None) -> bool:
        """Cut off whoever keeps us waiting the longest, of all or of an address; False if all of them wait for us."""
        for stage in FIRST_TO_GO:
            waiting = self._stages[stage]
            found = next((client for client in (waiting if own is None else own) if client in waiting), None)
            if found is not None:
                found.cut()
                self.leave(found)
                return True
        return False


def room() -> int:
    """How many connections the system lets this process have beside its other files; it can be changed while we run."""
    files = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    return MOST if files == resource.RLIM_INFINITY else max(LEAST, files - FILES)


def take_files() -> None:
    """Take as many files as are needed and allowed: what the system gives unasked is 1,024 on many machines."""
    taken, allowed = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST + FILES if allowed == resource.RLIM_INFINITY else min(MOST + FILES, allowed)
    if taken != resource.RLIM_INFINITY and taken < wanted:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, allowed))
