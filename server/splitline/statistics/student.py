"""Student's t with 4 degrees of freedom: heavy enough tails that one gross error does not decide."""

import numpy as np
from numpy.typing import NDArray

# A t4 with this scale is centred on the same spread as a normal distribution of standard deviation 1: the root of
# E[5 z^2 / (4 s^2 + z^2)] = 1 for normal z, computed.
SCALE = 0.8310034937777916


def log_density(deviation: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the log density, up to a constant, of deviations whose standard spread is `spread`."""
    scale = SCALE * spread
    return -np.log(scale) - 2.5 * np.log1p((deviation / scale) ** 2 / 4.0)


def distribution(deviation: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the probability of values at or below `deviation` for standard spreads `spread` > 0.

    Closed form for 4 degrees of freedom: 1/2 + 3/8 r (1 - r^2/12) with r = t / sqrt(1 + t^2/4).
    """
    t = deviation / (SCALE * spread)
    ratio = t / np.sqrt(1.0 + t * t / 4.0)
    return 0.5 + 0.375 * ratio * (1.0 - ratio * ratio / 12.0)
