"""Student's t with 4 degrees of freedom: heavy enough tails that one gross error does not decide."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

# A t4 with this scale is centred on the same spread as a normal distribution of standard deviation 1: the root of
# E[5 z^2 / (4 s^2 + z^2)] = 1 for normal z, computed.
SCALE = 0.8310034937777916
# Values whose densities are multiplied before the logarithm is taken: each factor is below 1e15.
AT_ONCE = 16


def log_densities(
    deviations: Iterable[NDArray[np.float64]], spreads: Iterable[NDArray[np.float64]]
) -> NDArray[np.float64]:
    """Return the sum of the log densities, up to a constant, of values in pairs: deviations down, spreads across.

    Each value has its deviations from every possible centre, and its standard spread for every possible scatter.
    Logarithms are costly: one is taken of the product of several, few enough that it stays a number. (The phone, which
    computes few sources, adds up `log_density`.)
    """
    total, product, scale = np.zeros(1), np.ones(1), np.ones(1)
    for count, (deviation, spread) in enumerate(zip(deviations, spreads, strict=True), 1):
        factor = np.outer(deviation**2, 1.0 / (2.0 * SCALE * spread) ** 2)
        factor += 1.0
        product, scale = factor * product, scale * (SCALE * spread)
        if count % AT_ONCE == 0:
            total, product, scale = total - np.log(scale) - 2.5 * np.log(product), np.ones(1), np.ones(1)
    return total - np.log(scale) - 2.5 * np.log(product)


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
