"""How much one address and one secret may ask for in a minute: buckets that fill up again, one for all workers."""

from collections.abc import Callable
from ipaddress import IPv6Address, ip_address, ip_network
from math import ceil
from pathlib import Path
from time import monotonic

from splitline.config import Settings
from splitline.levels import Levels

# Decoding a picture costs about as much as checking so many records.
PICTURE = 10
# What one household gets of the version 6 addresses.
HOUSEHOLD_BITS = 64


class Buckets:
    """A bucket for each key: full at first, emptied by what is taken, filled again within a minute."""

    def __init__(self, a_minute: int, clock: Callable[[], float], levels: Levels) -> None:
        """a_minute: what a bucket holds, 0 for no limit. clock: seconds, of the whole machine."""
        self._size = a_minute
        self._clock = clock
        self._levels = levels

    def take(self, key: str, cost: int = 1) -> int:
        """Take from a key's bucket; return 0, or the whole seconds after which there will be enough.

        What costs more than a bucket holds is let through when it is full, and leaves a debt.
        """
        if self._size == 0:
            return 0
        with self._levels.of(key) as found:
            now = self._clock()
            level = float(self._size)
            if found.value is not None:
                level = min(level, found.value + (now - found.since) * self._size / 60)
            missing = min(cost, self._size) - level
            found.value, found.since = (level if missing > 0 else level - cost), now
        return ceil(missing * 60 / self._size) if missing > 0 else 0


class Rates:
    """The limits of one server, however many workers it has."""

    def __init__(self, chosen: Settings, clock: Callable[[], float] = monotonic, together: Path | None = None) -> None:
        """together: the folder that the workers share; none where there is one."""
        files = [together / name if together else None for name in ("addresses", "secrets")]
        addresses, secrets = (Levels(file) for file in files)
        self._addresses = Buckets(chosen.requests_a_minute, clock, addresses)
        self._secrets = Buckets(chosen.records_a_minute, clock, secrets)
        self._proxies = [ip_network(network) for network in chosen.proxies()]

    def ask(self, host: str) -> int:
        """Count a request from an address; return 0, or the seconds it has to wait.

        What comes from a trusted proxy without the address of somebody behind it is the machine's own.
        """
        key = self._household(host)
        return self._addresses.take(key) if key is not None else 0

    def send(self, contributor: str, records: int) -> int:
        """Count records of a contributor; return 0, or the seconds they have to wait."""
        return self._secrets.take(contributor, records)

    def _household(self, host: str) -> str | None:
        try:
            address = ip_address(host)
        except ValueError:
            return host[:64]
        if any(address in network for network in self._proxies):
            return None
        if isinstance(address, IPv6Address) and address.ipv4_mapped is None:
            return str(ip_network((address, HOUSEHOLD_BITS), strict=False))
        return host
