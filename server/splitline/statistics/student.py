"""Student's t with 4 degrees of freedom: heavy enough tails that one gross error does not decide."""

from functools import cache
from math import acos, copysign, cos, sqrt

import numpy as np
from numpy.typing import NDArray

# A t4 with this scale is centred on the same spread as a normal distribution of standard deviation 1: the root of
# E[5 z^2 / (4 s^2 + z^2)] = 1 for normal z, computed.
SCALE = 0.8310034937777916
# Values whose densities are multiplied before the logarithm is taken: each factor lies between 1e-3 and 1e7.
AT_ONCE = 32


def log_densities(deviations: NDArray[np.float64], spreads: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the sum of the log densities, up to a constant, of some values: deviations down, spreads across.

    A row for each value: of deviations, from every possible centre; of spreads, its standard spread for every possible
    scatter. With a = (2 SCALE spread)^2 a log density is 2 log(a) - 2.5 log(a + deviation^2). Logarithms are costly:
    one is taken of the product of several, few enough that it stays a number. (The phone, which computes few sources,
    adds up `log_density`.)
    """
    squares, widths = deviations[:, None, :] ** 2, (2.0 * SCALE * spreads[:, :, None]) ** 2
    total: NDArray[np.float64] = 2.0 * np.log(widths).sum(axis=0)
    for start in range(0, len(squares), AT_ONCE):
        some = slice(start, start + AT_ONCE)
        total = total - 2.5 * np.log((widths[some] + squares[some]).prod(axis=0))
    return total.T


def density(deviation: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the probability density at `deviation` for standard spreads `spread` > 0."""
    scale = SCALE * spread
    distance = 1.0 + (deviation / (2.0 * scale)) ** 2
    return 0.375 / (scale * distance * distance * np.sqrt(distance))


def distribution(deviation: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the probability of values at or below `deviation` for standard spreads `spread` > 0.

    Closed form for 4 degrees of freedom: 1/2 + 3/8 r (1 - r^2/12) with r = t / sqrt(1 + t^2/4).
    """
    t = deviation / (SCALE * spread)
    ratio = t / np.sqrt(1.0 + t * t / 4.0)
    return 0.5 + 0.375 * ratio * (1.0 - ratio * ratio / 12.0)


@cache
def quantile(probability: float) -> float:
    """Return what a value of standard spread 1 does not exceed with this probability, 0..1 exclusive.

    Closed form for 4 degrees of freedom: W. T. Shaw, Sampling Student's t distribution, J. Comput. Finance 9(4) (2006).
    """
    root = sqrt(4.0 * probability * (1.0 - probability))
    return SCALE * copysign(2.0 * sqrt(max(cos(acos(root) / 3.0) / root - 1.0, 0.0)), probability - 0.5)
