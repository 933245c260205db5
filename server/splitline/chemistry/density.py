"""Density of ethanol-water mixtures by the international formula (OIML R 22).

rho(p, t) = sum A_k p^(k-1) + sum B_k (t-20)^k + sum C_ik p^k (t-20)^i, with the coefficients of `density.json` (Council
Directive 76/766/EEC, Annex, section 4). Numbers give a number, arrays an array of the same shape.
"""

import numpy as np

from splitline.chemistry.constants import load
from splitline.chemistry.polynomial import Array, Real, derivative, polynomial

COLDEST = -20.0
WARMEST = 40.0


def _table() -> Array:
    """The coefficients by power of p and power of (t - 20); 0 where the formula has none."""
    formula = load("density")
    # A, then B_i and C_i for each power of (t - 20), then B_6 alone.
    levels = [formula["a"], *([b, *c] for b, c in zip(formula["b"], [*formula["c"], []], strict=True))]
    return np.array([level + [0.0] * (len(levels[0]) - len(level)) for level in levels]).T


_TABLE = _table()
# Each coefficient paired with that of the derivative by p.
_BOTH = np.stack([_TABLE, np.append(derivative(_TABLE), np.zeros_like(_TABLE[:1]), axis=0)], axis=-1)


def density(mass_fraction: Real, temperature: Real) -> Array:
    """Return the density in kg/m3 in vacuo.

    mass_fraction: ethanol, 0..1. temperature: -20..40 degrees Celsius. Source: Council Directive 76/766/EEC.

    >>> float(round(density(1.0, 20.0), 2)), float(round(density(0.5, 20.0), 2))
    (789.24, 913.77)
    """
    return polynomial(_at(mass_fraction, _TABLE), temperature - 20.0)


def densities(mass_fraction: Real, temperature: Real) -> tuple[Array, Array, Array]:
    """Return the density and its partial derivatives by mass fraction, kg/m3, and by temperature, kg/m3 per degree."""
    levels = _at(mass_fraction, _BOTH)
    rows = (levels[:, 0], levels[:, 1], derivative(levels[:, 0]))
    value, by_fraction, by_temperature = (polynomial(row, temperature - 20.0) for row in rows)
    return value, by_fraction, by_temperature


def density_by_fraction(mass_fraction: Real, temperature: Real) -> Array:
    """Return the partial derivative of the density by mass fraction, kg/m3."""
    return densities(mass_fraction, temperature)[1]


def density_by_temperature(mass_fraction: Real, temperature: Real) -> Array:
    """Return the partial derivative of the density by temperature, kg/m3 per degree."""
    return densities(mass_fraction, temperature)[2]


def pure_densities(temperature: Real) -> Array:
    """Return the densities of water and of ethanol, kg/m3, and their partial derivatives by temperature."""
    return _at(temperature - 20.0, _PURE)


def density_at(temperature: Real) -> Array:
    """Return the density at a temperature as the coefficients of a polynomial in the mass fraction."""
    return _at(temperature - 20.0, _TABLE.T)


def _at(x: Real, table: Array) -> Array:
    """Evaluate the table's first variable at x: leaves polynomials in the other, one for each element of x."""
    return polynomial(table.reshape(*table.shape, *[1] * np.ndim(x)), x)


_LEVELS = _at(np.array([0.0, 1.0]), _TABLE)
_PURE = np.append(_LEVELS, np.append(derivative(_LEVELS), np.zeros((1, 2)), axis=0), axis=1)
