"""Robust centre and spread: a few outliers hardly move them."""

from collections.abc import Sequence
from math import floor

import numpy as np

# Makes the median absolute deviation estimate the standard deviation of normal values.
MAD_TO_SD = 1.4826
HUBER_K = 1.5
MIDDLE = (0.4, 0.6)


def quantile(values: Sequence[float], probability: float) -> float:
    """Return the quantile by linear interpolation between order statistics (type 7 of Hyndman and Fan 1996)."""
    ordered = sorted(values)
    position = (len(ordered) - 1) * probability
    below = floor(position)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (ordered[above] - ordered[below]) * (position - below)


def median(values: Sequence[float]) -> float:
    """Return the middle value, or the mean of the two middle ones."""
    return quantile(values, 0.5)


def weighted_middle(values: Sequence[float], weights: Sequence[float]) -> float:
    """Return the mean of the values between 40 and 60 % of the cumulative weight.

    Unlike a weighted median, it does not jump between values when weights tie and rounding decides.
    """
    total = sum(weights)
    low, high = MIDDLE[0] * total, MIDDLE[1] * total
    found = upto = 0.0
    for place in sorted(range(len(values)), key=values.__getitem__):
        before, upto = upto, upto + weights[place]
        if upto > low:
            found += (min(upto, high) - max(before, low)) * values[place]
        if upto >= high:
            break
    return found / (high - low)


def mad_spread(values: Sequence[float]) -> float:
    """Return the median absolute deviation from the median, scaled to a standard deviation."""
    return centre_and_spread(values)[1]


def centre_and_spread(values: Sequence[float]) -> tuple[float, float]:
    """Return the median, and the median absolute deviation from it, scaled to a standard deviation."""
    centre = median(values)
    return centre, MAD_TO_SD * median([abs(value - centre) for value in values])


def huber(values: Sequence[float]) -> tuple[float, float]:
    """Return Huber's M-estimate of the centre (k = 1.5) and the MAD spread it was scaled by.

    Iterates the mean of the values clipped to centre +- k spread until it moves by less than 1e-12 of the spread.
    Source: P. J. Huber, Robust Statistics (1981); with no spread the centre is the median.
    """
    centre, spread = centre_and_spread(values)
    if spread == 0.0:
        return centre, 0.0
    array = np.array(values)
    for _ in range(1000):
        low, high = centre - HUBER_K * spread, centre + HUBER_K * spread
        following = float(array.clip(low, high).mean())
        if abs(following - centre) < 1e-12 * spread:
            return following, spread
        centre = following
    return centre, spread
