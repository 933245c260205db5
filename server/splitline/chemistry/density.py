"""Density of ethanol-water mixtures by the international formula (OIML R 22).

rho(p, t) = sum A_k p^(k-1) + sum B_k (t-20)^k + sum C_ik p^k (t-20)^i, with the coefficients of `density.json`
(Council Directive 76/766/EEC, Annex, section 4). Written as a polynomial in (t - 20) whose coefficients are
polynomials in p.
"""

from splitline.chemistry.constants import load
from splitline.chemistry.polynomial import derivative, polynomial

_FORMULA = load("density")
COLDEST = -20.0
WARMEST = 40.0

# One polynomial in p for each power of (t - 20): A, then B_i + p * C_i, then B_6 alone.
_LEVELS = (
    tuple(_FORMULA["a"]),
    *((b, *c) for b, c in zip(_FORMULA["b"], [*_FORMULA["c"], []], strict=True)),
)
# The same numbers the other way round: one polynomial in (t - 20) for each power of p.
_POWERS = tuple(tuple(level[k] for level in _LEVELS if k < len(level)) for k in range(len(_LEVELS[0])))
_SLOPES = tuple(derivative(level) for level in _LEVELS)


def density(mass_fraction: float, temperature: float) -> float:
    """Return the density in kg/m3 in vacuo.

    mass_fraction: ethanol, 0..1. temperature: -20..40 degrees Celsius. Source: Council Directive 76/766/EEC.

    >>> round(density(1.0, 20.0), 2), round(density(0.5, 20.0), 2)
    (789.24, 913.77)
    """
    return polynomial([polynomial(level, mass_fraction) for level in _LEVELS], temperature - 20.0)


def density_at(temperature: float) -> tuple[float, ...]:
    """Return the density at one temperature as coefficients by mass fraction; with a numpy array, arrays."""
    shift = temperature - 20.0
    return tuple(polynomial(powers, shift) for powers in _POWERS)


def density_by_fraction(mass_fraction: float, temperature: float) -> float:
    """Return the partial derivative of the density by mass fraction, kg/m3."""
    return polynomial([polynomial(slope, mass_fraction) for slope in _SLOPES], temperature - 20.0)


def density_by_temperature(mass_fraction: float, temperature: float) -> float:
    """Return the partial derivative of the density by temperature, kg/m3 per degree."""
    return polynomial(derivative([polynomial(level, mass_fraction) for level in _LEVELS]), temperature - 20.0)
