"""A station's tank: deliveries days apart, each mixed with a share of the old fuel, the heel.

gaps: days between deliveries. heel: share of the tank. Both are drawn uniformly from a range.
"""

from collections.abc import Callable
from math import sqrt

import numpy as np

Range = tuple[float, float]

WARM_UP = 90.0
"""Days of deliveries before the first test, so that a tank's first heel is forgotten."""
KEPT = 8
"""Number of deliveries that still make up a relevant share of a tank."""


def tank_of(
    random: np.random.Generator, gaps: Range, heel: Range, start: float, end: float, delivered: Callable[[float], float]
) -> tuple[np.ndarray, np.ndarray]:
    """Return the days of deliveries, from well before `start`, and the tank's content from each on."""
    days = [start - WARM_UP]
    tanks = [delivered(days[0])]
    while (day := days[-1] + random.uniform(*gaps)) <= end:
        left = random.uniform(*heel)
        days.append(day)
        tanks.append(left * tanks[-1] + (1.0 - left) * delivered(day))
    return np.array(days), np.array(tanks)


def ages(random: np.random.Generator, gaps: Range, times: int = 200) -> np.ndarray:
    """The age of the latest `KEPT` deliveries, newest first, days, at this many random times.

    A random time falls into a gap in proportion to its length.
    """
    low, high = gaps
    newest = random.random((times, 1)) * np.sqrt(random.uniform(low**2, high**2, (times, 1)))
    before = random.uniform(low, high, (times, KEPT - 1)).cumsum(axis=1)
    return np.hstack([newest, newest + before])


def parts(heel: Range) -> np.ndarray:
    """The mean share of each of the latest deliveries in the tank, newest first."""
    left = sum(heel) / 2.0
    shares = (1.0 - left) * left ** np.arange(KEPT)
    return shares / shares.sum()


def left_by(heel: Range) -> float:
    """The standard deviation of tanks over that of deliveries, with uniformly drawn heels.

    A tank's variance V follows V = E[heel^2] V + E[(1 - heel)^2] tau^2.
    """
    low, high = heel
    mean, variance = (low + high) / 2.0, (high - low) ** 2 / 12.0
    return sqrt(((1.0 - mean) ** 2 + variance) / (1.0 - mean**2 - variance))
