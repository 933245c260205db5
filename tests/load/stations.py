"""The stations of an invented community: in six regions of two continents, with most visits at a few.

Like everything that `community.py` sends, they are random: nothing of the server is imported.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import accumulate
from math import cos, pi
from random import Random
from typing import Any

Json = dict[str, Any]

DAYS = 730
# Centre and radius in degrees, well inside a French department or US state; share of stations; season, % (V/V).
AREAS = (
    (45.75, 3.05, 0.15, 0.20, 30, 4.0),
    (45.05, 2.60, 0.12, 0.12, 10, 4.0),
    (45.10, 3.80, 0.12, 0.15, 10, 3.0),
    (42.00, -93.50, 0.70, 0.90, 25, 7.0),
    (41.30, -99.50, 0.60, 0.90, 10, 6.0),
    (45.50, -94.90, 0.60, 0.70, 15, 8.0),
)
FIRST, SECOND = ("Bra", "Cor", "Del", "Fen", "Gar", "Lom", "Mar", "Tor"), ("bec", "dane", "lix", "mont", "rau", "vey")


@dataclass(frozen=True)
class Station:
    """One station. record: as its contributor pushes it. deliveries: deviation of each from the level, % (V/V)."""

    record: Json
    level: float
    season: float
    interval: float
    deliveries: tuple[float, ...]

    @property
    def id(self) -> str:
        """Its identifier."""
        return str(self.record["id"])

    def content(self, day: float, moment: datetime) -> float:
        """Return the pump's content on a day of the two years, % (V/V)."""
        season = self.season * cos(2 * pi * (moment.timetuple().tm_yday - 196) / 365.25)
        return self.level + season + self.deliveries[int(day / self.interval)]


class Stations:
    """All stations, the most visited first: visits of the nth are proportional to 1/n (Zipf)."""

    def __init__(self, count: int, seed: int, until: datetime) -> None:
        """until: the end of the two years."""
        random = Random(f"stations {seed}")
        self.until, self.start = until, until - timedelta(days=DAYS)
        self.all = [station(random, number, self.start) for number in range(count)]
        self._visits = list(accumulate(1 / (rank + 1) for rank in range(count)))

    def visited(self, random: Random) -> Station:
        """Return a random station, weighted by visits."""
        return random.choices(self.all, cum_weights=self._visits)[0]


def station(random: Random, number: int, start: datetime) -> Station:
    """Return a station with two years of deliveries."""
    latitude, longitude, high, wide, _, season = random.choices(AREAS, [area[4] for area in AREAS])[0]
    interval, scatter = random.uniform(5, 25), random.uniform(0.5, 4)
    record = {
        "kind": "source",
        "id": identifier(random, start),
        "revision": 1,
        "name": f"{random.choice(FIRST)}{random.choice(SECOND)} {number + 1}",
        "latitude": round(latitude + random.uniform(-high, high), 5),
        "longitude": round(longitude + random.uniform(-wide, wide), 5),
        "recorded_at": start.isoformat(),
    }
    deliveries = tuple(random.gauss(0, scatter) for _ in range(int(DAYS / interval) + 1))
    return Station(record, random.gauss(73, 4), season, interval, deliveries)


def identifier(random: Random, moment: datetime) -> str:
    """Return a UUID version 7."""
    text = f"{int(moment.timestamp() * 1000):012x}7{random.getrandbits(12):03x}8{random.getrandbits(60):015x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"


def today() -> datetime:
    """Return the last midnight, UTC: the end of the two years."""
    return datetime.now(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
