"""Holds outliers: readings far from both their source and their region.

An outlier counts once an established contributor reads the same there. A reading is compared with the source's counted
readings within a year and with the region's months, in robust standard deviations: the median absolute deviation scaled
to a normal distribution, see `statistics.robust`.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import hypot, sqrt

from msgspec import Struct

from splitline.errors import Problem
from splitline.statistics.robust import MAD_TO_SD, centre_and_spread

FARTHEST = 6.0
# For contributors with little weight so far, see `statistics.influence`.
FARTHEST_STRANGER = 3.0
LEAST_READINGS = 5
RECENT, CONFIRMING = 365, 30
"""Days within which readings are compared, and within which one can confirm another."""
# Lowest scatter assumed for a source's next delivery, % (V/V): without it, five equal readings would make an outlier of
# the next delivery. From memory, no source.
DELIVERIES = 2.0


class Reading(Struct, frozen=True):
    """One reading at a source. day: see `store.rows.day_of`. content, expanded_uncertainty (95 %): % (V/V)."""

    contributor: str
    day: int
    content: float
    expanded_uncertainty: float


class Level(Struct, frozen=True):
    """Summary of some readings. centre, spread: robust, % (V/V); count: of readings."""

    centre: float
    spread: float
    count: int


def level_of(readings: Iterable[Reading]) -> Level | None:
    """Return the level of some readings; None if there are none."""
    contents = [reading.content for reading in readings]
    return Level(*centre_and_spread(contents), len(contents)) if contents else None


@lru_cache(maxsize=8192)
def pooled(levels: tuple[Level, ...]) -> Level | None:
    """Return the combined level of readings given only as levels, such as a region's by month.

    The months of a region are the same for a thousand readings in a row.
    """
    if not levels:
        return None
    count = sum(level.count for level in levels)
    centre = _middle([(level.centre, level.count) for level in levels])
    between = MAD_TO_SD * _middle([(abs(level.centre - centre), level.count) for level in levels])
    within = sqrt(sum(level.spread**2 * level.count for level in levels) / count)
    return Level(centre, hypot(between, within), count)


def out_of_line(reading: Reading, levels: Iterable[Level | None], farthest: float = FARTHEST) -> Problem | None:
    """Hold a reading too many robust standard deviations from every level that has enough readings.

    levels: of the region's and of the source's recent readings; the search ends at the first one that the reading
    agrees with. A level of fewer than five readings is not used. farthest: how many deviations are too many.
    """
    spans: list[tuple[Level, float]] = []
    for level in levels:
        if level and level.count >= LEAST_READINGS:
            if is_in_line(reading, level, farthest):
                return None
            spans.append((level, farthest * _deviation(reading, level)))
    if not spans:
        return None
    level, span = min(spans, key=lambda pair: abs(reading.content - pair[0].centre) - pair[1])
    expected = f"{level.centre - span:.1f}..{level.centre + span:.1f}"
    return Problem("out_of_line", "content", f"{reading.content:.1f}", expected)


def is_in_line(reading: Reading, level: Level, farthest: float = FARTHEST) -> bool:
    """Whether a level has enough readings and this reading is near it."""
    near = abs(reading.content - level.centre) <= farthest * _deviation(reading, level)
    return level.count >= LEAST_READINGS and near


def confirms(one: Reading, other: Reading) -> bool:
    """Whether two people's readings at one source within 30 days agree.

    They agree when the difference is within the combined expanded uncertainty (normalised error at most 1, ISO 13528).
    """
    within = hypot(one.expanded_uncertainty, other.expanded_uncertainty)
    return (
        one.contributor != other.contributor
        and abs(one.day - other.day) <= CONFIRMING
        and abs(one.content - other.content) <= within
    )


def _deviation(reading: Reading, level: Level) -> float:
    """Expected standard deviation of this reading: scatter of the others, of a delivery, and its own uncertainty."""
    return hypot(level.spread, DELIVERIES, reading.expanded_uncertainty / 2)


def _middle(weighted: Sequence[tuple[float, int]]) -> float:
    """The weighted median: half of the weight on either side; the midpoint where two values share it."""
    half, passed = sum(weight for _, weight in weighted) / 2, 0
    ordered = sorted(weighted)
    for index, (value, weight) in enumerate(ordered):
        passed += weight
        if passed == half:
            return (value + ordered[index + 1][0]) / 2
        if passed > half:
            return value
    raise AssertionError("a level has at least one reading")
