"""Limits on requests per address and records per secret each minute, as token buckets in each worker's memory.

Each of N workers admits an Nth of a limit, so workers need not share state and together never exceed the limit for
long. A client is limited by the worker its connection leads to, and the system spreads connections unevenly: with one
connection a client gets an Nth of the limit, with several up to the whole of it, and the wait it is given may be too
short if its next request reaches another worker. Each machine has its own limits.
"""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from ipaddress import IPv6Address, ip_address, ip_network
from math import ceil
from time import monotonic

from splitline.config import Network, Settings

# Decoding a picture costs about as much as checking this many records.
PICTURE = 10
# Records collected in a day without network: a worker accepts them at once even if its share of the limit is smaller.
BACKLOG = 2000
# Prefix length of IPv6 addresses that one household gets.
HOUSEHOLD_BITS = 64
# Some 3 MB. A bucket not used for a minute is full again, so forgetting it changes nothing.
MOST_KEYS = 10_000


class Buckets:
    """A token bucket for each key: it starts full and refills steadily."""

    def __init__(self, size: float, a_minute: float, clock: Callable[[], float], most: int = MOST_KEYS) -> None:
        """size: capacity of a bucket, 0 for no limit. a_minute: refill rate. clock: s. most: keys to remember."""
        self._size, self._a_second = size, a_minute / 60
        self._clock = clock
        self._most = most
        self._levels: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, key: str, cost: int = 1) -> int:
        """Take from a key's bucket; return 0, or the whole seconds until it will hold enough.

        A cost above the bucket's capacity is allowed when it is full, and leaves a debt. With too many keys, the least
        recently used is forgotten.
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
    """Return the key an address is counted under; None for a trusted proxy, which has many clients behind it."""
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
    """One worker's share of a server's limits."""

    def __init__(self, chosen: Settings, clock: Callable[[], float] = monotonic) -> None:
        requests, records = (limit / chosen.workers for limit in (chosen.requests_a_minute, chosen.records_a_minute))
        self._addresses = Buckets(requests, requests, clock)
        self._secrets = Buckets(max(records, min(BACKLOG, chosen.records_a_minute)), records, clock)
        self._proxies = chosen.networks()

    def ask(self, host: str) -> int:
        """Count a request from an address; return 0, or the seconds it must wait.

        A request from a trusted proxy that names no client is the proxy machine's own.
        """
        key = household(host, self._proxies)
        return self._addresses.take(key) if key is not None else 0

    def send(self, contributor: str, records: int) -> int:
        """Count records of a contributor; return 0, or the seconds they must wait."""
        return self._secrets.take(contributor, records)
