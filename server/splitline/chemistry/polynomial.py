"""Polynomials by Horner's rule, the same order of operations in both languages."""

from collections.abc import Sequence


def polynomial(coefficients: Sequence[float], x: float) -> float:
    """Return the sum of coefficients[k] * x**k; with a numpy array for x, an array."""
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def derivative(coefficients: Sequence[float]) -> tuple[float, ...]:
    """Return the coefficients of the polynomial's first derivative."""
    return tuple(k * coefficients[k] for k in range(1, len(coefficients)))
