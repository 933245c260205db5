"""From standard uncertainties to an interval that covers 95 %: degrees of freedom and shape."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from splitline.chemistry.constants import load

NORMAL = 1.959964
# Reciprocal degrees of freedom and t, from 1 degree of freedom to infinitely many.
_STUDENT: list[tuple[float, float]] = [*((1.0 / freedom, t) for freedom, t in load("student")["t95"]), (0.0, NORMAL)]

# Excess kurtosis of the shapes a component can have.
RECTANGULAR, TRIANGULAR, GAUSSIAN = -1.2, -0.6, 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """One independent part of a result: its standard uncertainty, excess kurtosis and degrees of freedom."""

    uncertainty: float
    kurtosis: float = GAUSSIAN
    freedom: float = inf


def coverage_factor(parts: Iterable[Part]) -> float:
    """Return k so that k times the combined standard uncertainty covers 95 %.

    Degrees of freedom by Welch-Satterthwaite (JCGM 100, G.4.1); the shape by the combined excess kurtosis, because
    a few rectangular parts reach less far than a normal distribution of the same variance.
    """
    known = [part for part in parts if part.uncertainty > 0.0]
    variance = sum(part.uncertainty**2 for part in known)
    if variance == 0.0:
        return NORMAL
    kurtosis = sum(part.kurtosis * part.uncertainty**4 for part in known) / variance**2
    spread = sum(part.uncertainty**4 / part.freedom for part in known)
    freedom = variance**2 / spread if spread > 0.0 else inf
    return shape_factor(kurtosis) * student_factor(freedom) / NORMAL


def shape_factor(kurtosis: float) -> float:
    """Return the half-width that holds 95 % of a symmetric distribution with unit variance.

    kurtosis: excess, -1.2..0. The cubic goes through the exact values of the normal (1.960), triangular (1.902) and
    rectangular (1.645) distributions, leaving the normal with the slope of the Cornish-Fisher expansion.
    """
    return NORMAL + kurtosis * (0.0687179 + kurtosis * (0.0668928 + kurtosis * 0.1900347))


def student_factor(freedom: float) -> float:
    """Return Student's t for 95 % and `freedom` >= 1, between rows of JCGM 100, table G.2, linear in 1/freedom."""
    reciprocal = 1.0 / max(freedom, 1.0)
    for (start, above), (end, below) in pairwise(_STUDENT):
        if reciprocal >= end:
            return below + (above - below) * (reciprocal - end) / (start - end)
    return NORMAL
