"""Polynomials by Horner's rule, in the same order of operations in both languages, and helpers for arrays."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Real = float | Array


def polynomial(coefficients: Array, x: Real) -> Array:
    """Return the sum of coefficients[k] * x**k; each coefficient may be an array, as x may."""
    total: Array = coefficients[-1] + 0.0 * x
    for coefficient in coefficients[-2::-1]:
        total *= x
        total += coefficient
    return total


def with_slope(coefficients: Array, x: Real) -> tuple[Array, Array]:
    """Return a polynomial's value, as `polynomial` does, and its slope."""
    value: Array = coefficients[-1] + 0.0 * x
    slope = 0.0 * value
    for coefficient in coefficients[-2::-1]:
        slope *= x
        slope += value
        value *= x
        value += coefficient
    return value, slope


def derivative(coefficients: Array) -> Array:
    """Return the coefficients of the polynomial's first derivative."""
    powers = np.arange(1.0, len(coefficients))
    return coefficients[1:] * powers.reshape(-1, *[1] * (coefficients.ndim - 1))
