"""The normal distribution, written out so that Python and TypeScript compute the same digits."""

from math import exp, pi, sqrt


def normal_below(z: float) -> float:
    """Return the probability that a standard normal value lies at or below z.

    Series of G. Marsaglia, Evaluating the normal distribution, J. Stat. Software 11(4) (2004); beyond 8 standard
    deviations 0 or 1.
    """
    if z < -8.0:
        return 0.0
    if z > 8.0:
        return 1.0
    term = total = z
    divisor = 1.0
    while abs(term) > 1e-18:
        divisor += 2.0
        term *= z * z / divisor
        total += term
    return 0.5 + total * exp(-z * z / 2.0) / sqrt(2.0 * pi)
