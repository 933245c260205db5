"""How much one address and one secret may ask for in a minute, as token buckets in the memory of each worker.

Each of N workers admits an Nth of a limit, so that they need not know of each other and together never admit more than
the limit for long. A client meets the worker that its connection leads to, and the system spreads connections
unevenly: with a single connection a client gets an Nth of the limit, with several up to the whole of it, and the wait
it is told may be too short where it comes back to another worker. Several machines each have limits of their own.
"""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from ipaddress import IPv6Address, ip_address, ip_network
from math import ceil
from time import monotonic

from splitline.config import Network, Settings

# Decoding a picture costs about as much as checking so many records.
PICTURE = 10
# Records after a day without network: a worker takes them at once even where its part of the limit is smaller.
BACKLOG = 2000
# What one household gets of the version 6 addresses.
HOUSEHOLD_BITS = 64
# Some 3 MB. A bucket that nobody asked for in a minute is full, so that forgetting it changes nothing.
MOST_KEYS = 10_000


class Buckets:
    """A bucket for each key: full at first, emptied by what is taken, filled again steadily."""

    def __init__(self, size: float, a_minute: float, clock: Callable[[], float], most: int = MOST_KEYS) -> None:
        """size: what a bucket holds, 0 for no limit. a_minute: what flows in. clock: s. most: keys to remember."""
        self._size, self._a_second = size, a_minute / 60
        self._clock = clock
        self._most = most
        self._levels: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, key: str, cost: int = 1) -> int:
        """Take from a key's bucket; return 0, or the whole seconds after which there will be enough.

        What costs more than a bucket holds is let through when it is full, and leaves a debt. Of too many keys the
        one that was asked for the longest ago is forgotten.
        """
        if self._size == 0:
            return 0
        now = self._clock()
        level, since = self._levels.pop(key, (self._size, now))
        level = min(self._size, level + (now - since) * self._a_second)
        missing = min(cost, self._size) - level
        self._levels[key] = (level if missing > 0 else level - cost, now)
        if len(self._levels) > self._most:
            self._levels.popitem(last=False)
        return ceil(missing / self._a_second) if missing > 0 else 0


def household(host: str, proxies: Sequence[Network]) -> str | None:
    """Return under which name an address is counted; None for a trusted proxy, behind which are many."""
    try:
        address = ip_address(host)
    except ValueError:
        return host[:64]
    if any(address in network for network in proxies):
        return None
    if isinstance(address, IPv6Address) and address.ipv4_mapped is None:
        return str(ip_network((address, HOUSEHOLD_BITS), strict=False))
    return host


class RateLimit:
    """The part of a server's limits that one worker has."""

    def __init__(self, chosen: Settings, clock: Callable[[], float] = monotonic) -> None:
        requests, records = (limit / chosen.workers for limit in (chosen.requests_a_minute, chosen.records_a_minute))
        self._addresses = Buckets(requests, requests, clock)
        self._secrets = Buckets(max(records, min(BACKLOG, chosen.records_a_minute)), records, clock)
        self._proxies = chosen.networks()

    def ask(self, host: str) -> int:
        """Count a request from an address; return 0, or the seconds it has to wait.

        What comes from a trusted proxy without the address of somebody behind it is the machine's own.
        """
        key = household(host, self._proxies)
        return self._addresses.take(key) if key is not None else 0

    def send(self, contributor: str, records: int) -> int:
        """Count records of a contributor; return 0, or the seconds they have to wait."""
        return self._secrets.take(contributor, records)
