"""The normal distribution on arrays, written out so that Python and TypeScript give the same digits."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

# M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), 26.2.17: error at most 7.5e-8.
_P = 0.2316419
_B = (0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429)
_DENSITY = 0.3989422804014327


def distribution_and_density(
    deviation: NDArray[np.float64], spread: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the probability of values at or below `deviation`, and their density, spreads > 0."""
    z = deviation / spread
    density = _DENSITY * np.exp(-0.5 * z * z)
    t = 1.0 / (1.0 + _P * np.abs(z))
    beyond = density * t * (_B[0] + t * (_B[1] + t * (_B[2] + t * (_B[3] + t * _B[4]))))
    return np.where(z > 0.0, 1.0 - beyond, beyond), density / spread


@cache
def quantile(probability: float) -> float:
    """Return the quantile of the standard normal distribution, for probabilities 0.001..0.999, by bisection."""
    low, high = -8.0, 8.0
    for _ in range(60):
        middle = (low + high) / 2.0
        below = distribution_and_density(np.array(middle), np.array(1.0))[0] < probability
        low, high = (middle, high) if below else (low, middle)
    return (low + high) / 2.0
