"""How often each content was read, by tenths of a percent: a centre and a spread at a cost that does not grow.

A reading is good to a percent at best, so that nothing is lost by the rounding; and a tally can be added to and taken
from, which a robust figure cannot.
"""

from collections.abc import Mapping
from math import floor

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import HUBER_K, MAD_TO_SD

Tally = Mapping[int, int]
"""Content in tenths of a percent (V/V) -> how many readings."""

PER_PERCENT = 10
MOST_STEPS = 1000
# Newton's steps are few, but may swing between two values; after this many the plain ones finish.
NEWTON_STEPS = 30


def tenth_of(content: float) -> int:
    """Return a content, % (V/V), in whole tenths of a percent; halves go up."""
    return floor(content * PER_PERCENT + 0.5)


def centre_of(tally: Tally) -> tuple[float, float]:
    """Return Huber's centre of the readings and the MAD spread it was scaled by, as `robust.huber` of them all."""
    tenths = sorted(tally)
    values = np.array(tenths, dtype=np.float64) / PER_PERCENT
    counts = np.array([tally[tenth] for tenth in tenths], dtype=np.float64)
    centre = _median(values, counts)
    away = np.abs(values - centre)
    order = np.argsort(away, kind="stable")
    spread = MAD_TO_SD * _median(away[order], counts[order])
    # Contents are tenths, so half of them equal leaves rounding noise at most.
    if spread < 1e-9:
        return centre, 0.0
    reach = HUBER_K * spread
    for step in range(MOST_STEPS):
        drawn_in = np.minimum(np.maximum(values - centre, -reach), reach)
        inside = counts[np.abs(values - centre) <= reach].sum() if step < NEWTON_STEPS else counts.sum()
        move = float(np.dot(counts, drawn_in) / max(inside, 1.0))
        centre += move
        if abs(move) < 1e-12 * spread:
            break
    return centre, spread


def share_within(tally: Tally, minimum: float, maximum: float) -> float:
    """Return the share of the readings, 0..1, from `minimum` to `maximum`, % (V/V), both included."""
    inside = sum(count for tenth, count in tally.items() if minimum <= tenth / PER_PERCENT <= maximum)
    return inside / sum(tally.values())


def _median(values: NDArray[np.float64], counts: NDArray[np.float64]) -> float:
    """The middle of ascending values that come `counts` times each, or the mean of the two middle ones."""
    upto = np.cumsum(counts)
    last = upto[-1] - 1.0
    low, high = np.searchsorted(upto, [np.floor(last / 2.0), np.ceil(last / 2.0)], side="right")
    return float((values[low] + values[high]) / 2.0)
