"""From standard uncertainties to an interval that covers 95 %: degrees of freedom and shape."""

import numpy as np

from splitline.chemistry.constants import load
from splitline.chemistry.polynomial import Array, Real

NORMAL = 1.959964
# Reciprocal degrees of freedom, rising, and t, from infinite degrees of freedom to 1.
_STUDENT = np.array([(0.0, NORMAL), *((1.0 / freedom, t) for freedom, t in reversed(load("student")["t95"]))]).T

# Excess kurtosis of the shapes a component can have.
TWO_POINTS, RECTANGULAR, TRIANGULAR, GAUSSIAN = -2.0, -1.2, -0.6, 0.0
# The half-width that covers 95 % of a rectangular distribution of unit variance, and the 95 % quantile of a normal one.
_OF_RECTANGULAR, _ONE_SIDED = 0.95 * 3.0**0.5, 1.644854


def coverage_factor(uncertainty: Array, kurtosis: Real = GAUSSIAN, freedom: Real = np.inf) -> Array:
    """Return k so that k times the combined standard uncertainty covers 95 %.

    The first axis of the arrays runs over the independent components of a result, with the standard uncertainty, excess
    kurtosis and degrees of freedom of each. Degrees of freedom by Welch-Satterthwaite (JCGM 100, G.4.1); the shape by
    the combined excess kurtosis, because a few rectangular components spread less far than a normal distribution of the
    same variance.
    """
    squares = uncertainty**2
    fourths, variance = squares**2, squares.sum(axis=0)
    # With no components, any divisor but 0 gives the normal factor.
    squared = np.where(variance > 0.0, variance**2, 1.0)
    shape = np.sum(kurtosis * fourths, axis=0) / squared
    with np.errstate(divide="ignore"):
        effective = squared / np.sum(fourths / freedom, axis=0)
    return shape_factor(shape) * (student_factor(effective) / NORMAL)


def shape_factor(kurtosis: Array) -> Array:
    """Return the half-width that covers 95 % of a symmetric distribution with unit variance.

    kurtosis: excess, -2..0. The cubic goes through the exact values of the normal (1.960), triangular (1.902) and
    rectangular (1.645) distributions, with the slope of the Cornish-Fisher expansion at the normal. Anything below the
    rectangular one is treated as two points with some noise: half their distance, plus the noise on the outer side.
    """
    cubic = NORMAL + kurtosis * (0.0687179 + kurtosis * (0.0668928 + kurtosis * 0.1900347))
    points = np.sqrt(np.clip(kurtosis / TWO_POINTS, 0.0, 1.0))
    noisy = np.minimum(np.sqrt(points) + _ONE_SIDED * np.sqrt(1.0 - points), _OF_RECTANGULAR)
    factor: Array = np.where(kurtosis < RECTANGULAR, noisy, cubic)[()]
    return factor


def student_factor(freedom: Real) -> Array:
    """Return Student's t for 95 % and `freedom` >= 1, from JCGM 100, table G.2, interpolated linearly in 1/freedom."""
    factor: Array = np.interp(1.0 / np.maximum(freedom, 1.0), *_STUDENT)
    return factor
