"""Student's t with 4 degrees of freedom: heavy enough tails that one gross error does not decide."""

from functools import cache
from math import acos, copysign, cos, sqrt

import numpy as np
from numpy.typing import NDArray

# A t4 with this scale is centred on the same spread as a normal distribution of standard deviation 1: the root of
# E[5 z^2 / (4 s^2 + z^2)] = 1 for normal z, computed.
SCALE = 0.8310034937777916
# Factors that are multiplied out to one polynomial, and polynomials whose values are multiplied before the logarithm is
# taken: each factor lies between 1e-3 and 1e7, so that the products stay numbers.
DEGREE, AT_ONCE = 6, 4


def log_densities(
    deviations: NDArray[np.float64], uncertainties: NDArray[np.float64], scatters: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the sum of the log densities, up to a constant, of some values: a row a centre, a column a scatter.

    deviations: a row for each value, from every possible centre. uncertainties: of each value, standard. scatters:
    every possible one. With a = (2 SCALE)^2 (scatter^2 + uncertainty^2) a log density is 2 log(a) - 2.5 log(a +
    deviation^2). (The phone, which computes few sources, adds up `log_density`.)
    """
    own, widths = (2.0 * SCALE * uncertainties[:, None]) ** 2, (2.0 * SCALE * scatters) ** 2
    heights: NDArray[np.float64] = 2.0 * np.log(own + widths).sum(axis=0)[:, None]
    return (heights - 2.5 * _log_products(deviations**2 + own, widths)).T


def _log_products(constants: NDArray[np.float64], widths: NDArray[np.float64]) -> NDArray[np.float64]:
    """The logarithm of the product of (constant + width) over the rows: a row a width, a column a column.

    The product of several factors is a polynomial of the width, whose coefficients are all positive. They are
    multiplied out once, and one matrix product gives the values at every width.
    """
    count, columns = constants.shape
    groups = -(-count // DEGREE)
    factors = [constants[start : start + groups] for start in range(0, count, groups)]
    coefficients = np.zeros((len(factors) + 1, groups, columns))
    coefficients[0] = 1.0
    for degree, factor in enumerate(factors, 1):
        growing = coefficients[: degree + 1, : len(factor)]
        raised = growing[:-1].copy()
        growing[:-1] *= factor
        growing[1:] += raised
    powers = widths[:, None] ** np.arange(len(coefficients))
    values = (powers @ coefficients.reshape(len(coefficients), -1)).reshape(-1, groups, columns)
    total: NDArray[np.float64] = sum(
        np.log(values[:, start : start + AT_ONCE].prod(axis=1)) for start in range(0, groups, AT_ONCE)
    )
    return total


def distribution_and_density(
    deviation: NDArray[np.float64], spread: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the probability of values at or below `deviation`, and their density, for standard spreads `spread` > 0.

    Closed form for 4 degrees of freedom: 1/2 + 3/8 r (1 - r^2/12) with r = t / sqrt(1 + t^2/4).
    """
    scale = SCALE * spread
    t = deviation / scale
    distance = 1.0 + t * t / 4.0
    root = np.sqrt(distance)
    ratio = t / root
    return 0.5 + 0.375 * ratio * (1.0 - ratio * ratio / 12.0), 0.375 / (scale * distance * distance * root)


def distribution(deviation: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the probability of values at or below `deviation` for standard spreads `spread` > 0."""
    return distribution_and_density(deviation, spread)[0]


@cache
def quantile(probability: float) -> float:
    """Return what a value of standard spread 1 does not exceed with this probability, 0..1 exclusive.

    Closed form for 4 degrees of freedom: W. T. Shaw, Sampling Student's t distribution, J. Comput. Finance 9(4) (2006).
    """
    root = sqrt(4.0 * probability * (1.0 - probability))
    return SCALE * copysign(2.0 * sqrt(max(cos(acos(root) / 3.0) / root - 1.0, 0.0)), probability - 0.5)
