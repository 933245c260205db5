"""Many fillings at once: the equation of `extraction` on arrays, solved for all of them together.

What hangs on the temperature alone is worked out once; then the density is one polynomial of the mass fraction.
"""

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.density import density, density_at
from splitline.chemistry.polynomial import derivative, polynomial

Array = NDArray[np.float64]

_HIGHEST = 1.4
STEPS = 60


@dataclass(frozen=True, slots=True)
class Fillings:
    """Fillings, an array element each. start, fuel: volumes of water and fuel, mL.

    water: what the lower layer holds of water, mg. ethanol: what it would hold of ethanol from a fuel of nothing else.
    mixture, bend: its density and the slope of that, kg/m3, as coefficients by mass fraction.
    """

    start: Array
    fuel: Array
    water: Array
    ethanol: Array
    mixture: tuple[Array, ...]
    bend: tuple[Array, ...]

    @classmethod
    def of(cls, water: Array, fuel: Array, temperature: Array, fuel_water: Array) -> "Fillings":
        """water, fuel: mL. temperature: degrees Celsius. fuel_water: a fraction of the fuel."""
        mixture = cast(tuple[Array, ...], density_at(cast(float, temperature)))
        bend = cast(tuple[Array, ...], derivative(cast(tuple[float, ...], mixture)))
        rho_water, rho_ethanol = (cast(Array, density(pure, cast(float, temperature))) for pure in (0.0, 1.0))
        return cls(water, fuel, (water + fuel_water * fuel) * rho_water, fuel * rho_ethanol, mixture, bend)

    def lines(self, ethanol: Array) -> tuple[Array, Array]:
        """Return the lines in mL, and their slopes, for ethanol >= 0 as fractions of the fuel."""
        mass_ethanol = ethanol * self.ethanol
        mass = self.water + mass_ethanol
        fraction = mass_ethanol / mass
        volume = 1.0 / _at(self.mixture, fraction)
        slope = volume - _at(self.bend, fraction) * volume * volume * (1.0 - fraction)
        return mass * volume, slope * self.ethanol

    def contents(self, lines: Array) -> Array:
        """Return the contents in % that explain some lines, mL, by the bracketed Newton steps of `extraction`."""
        low, high = np.zeros(len(lines)), np.full(len(lines), _HIGHEST)
        ethanol = np.clip((lines - self.start) / self.fuel, low, high)
        for _ in range(STEPS):
            found, slopes = self.lines(ethanol)
            excess = found - lines
            high, low = np.where(excess > 0.0, ethanol, high), np.where(excess > 0.0, low, ethanol)
            following = ethanol - excess / slopes
            following = np.where((low <= following) & (following <= high), following, (low + high) / 2.0)
            moved = np.abs(following - ethanol)
            ethanol = following
            if np.all(moved < 1e-12):
                break
        return 100.0 * ethanol


def _at(coefficients: tuple[Array, ...], fraction: Array) -> Array:
    """A polynomial whose coefficients differ from element to element."""
    return cast(Array, polynomial(cast(tuple[float, ...], coefficients), cast(float, fraction)))
