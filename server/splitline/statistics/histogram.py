"""Histograms of contents in tenths of a percent: robust centre and spread at constant cost.

A reading is good to a percent at best, so the rounding loses nothing. Readings can be added to and removed from a
histogram, which a robust estimate does not allow.
"""

from collections.abc import Mapping, Sequence
from itertools import chain
from math import floor

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import HUBER_K, MAD_TO_SD

Array = NDArray[np.float64]
Histogram = Mapping[int, int]
"""Content in tenths of a percent (V/V) -> how many readings."""

PER_PERCENT = 10
MOST_STEPS = 1000
# Newton's method takes few steps but can oscillate; after this many, plain fixed-point steps finish.
NEWTON_STEPS = 30


def tenth_of(content: float) -> int:
    """Return a content, % (V/V), in whole tenths of a percent; halves go up."""
    return floor(content * PER_PERCENT + 0.5)


def centre_of(histogram: Histogram) -> tuple[float, float]:
    """Return Huber's centre and the MAD spread it was scaled by: what `robust.huber` gives for the readings."""
    return centres_of([histogram])[0]


def centres_of(histograms: Sequence[Histogram]) -> list[tuple[float, float]]:
    """Return centre and spread of each histogram, computed together: a push changes many months."""
    if not histograms:
        return []
    values, counts = _tables(histograms)
    centre = _medians(values, counts)
    away = np.abs(values - centre)
    order = np.argsort(away, axis=1, kind="stable")
    spread = MAD_TO_SD * _medians(np.take_along_axis(away, order, 1), np.take_along_axis(counts, order, 1))
    # If half the contents are equal, only rounding noise is left of the spread; the centre is then the median.
    spread[spread < 1e-9] = 0.0
    reach, total = HUBER_K * spread, counts.sum(axis=1, keepdims=True)
    moving = spread > 0.0
    for step in range(MOST_STEPS):
        off = values - centre
        inside = np.where(np.abs(off) <= reach, counts, 0.0).sum(axis=1, keepdims=True)
        weight = np.maximum(inside if step < NEWTON_STEPS else total, 1.0)
        move = (counts * np.clip(off, -reach, reach)).sum(axis=1, keepdims=True) / weight
        centre += np.where(moving, move, 0.0)
        moving &= np.abs(move) >= 1e-12 * spread
        if not moving.any():
            break
    return list(zip(centre[:, 0].tolist(), spread[:, 0].tolist(), strict=True))


def share_within(histogram: Histogram, minimum: float, maximum: float) -> float:
    """Return the share of the readings, 0..1, from `minimum` to `maximum`, % (V/V), both included."""
    inside = sum(count for tenth, count in histogram.items() if minimum <= tenth / PER_PERCENT <= maximum)
    return inside / sum(histogram.values())


def _tables(histograms: Sequence[Histogram]) -> tuple[Array, Array]:
    """Ascending contents and their counts, one row per histogram, padded with zeros."""
    lengths = np.array([len(histogram) for histogram in histograms])
    filled = np.arange(max(lengths.max(), 1)) < lengths[:, None]
    values, counts = np.zeros(filled.shape), np.zeros(filled.shape)
    tenths = [sorted(histogram) for histogram in histograms]
    values[filled] = np.array(list(chain.from_iterable(tenths)), dtype=np.float64) / PER_PERCENT
    counts[filled] = [histogram[tenth] for histogram, row in zip(histograms, tenths, strict=True) for tenth in row]
    return values, counts


def _medians(values: Array, counts: Array) -> Array:
    """The median of each row of ascending values, each repeated `counts` times."""
    upto = np.cumsum(counts, axis=1)
    last = upto[:, -1:] - 1.0
    places = [(upto <= end).sum(axis=1, keepdims=True) for end in (np.floor(last / 2.0), np.ceil(last / 2.0))]
    low, high = (np.take_along_axis(values, np.minimum(place, values.shape[1] - 1), 1) for place in places)
    return (low + high) / 2.0
