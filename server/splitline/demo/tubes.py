"""Simulates a tube in the invented world: mixing, exchange, heating and cooling.

Nothing here comes from the tube model that the phone uses, so that the demo is no model that agrees with itself: other
densities (a handbook's table), the exchange between the layers solved as an equilibrium, and temperatures that nobody
enters. Volumes mL, masses g, temperatures degrees Celsius, contents as fractions. For tubes with about as much water as
fuel, at 40 to 95 % ethanol.
"""

from dataclasses import dataclass
from math import exp
from random import Random

# Density of ethanol and water at 20 degrees, g/mL, from 25 % ethanol by mass in steps of 5 %: Osborne, McKelvy and
# Bearce 1913, as in handbooks; from memory.
_FIRST, _STEP = 0.25, 0.05
_DENSITIES = (0.96168, 0.95382, 0.94494, 0.93518, 0.92472, 0.91384, 0.90258)
_WATER, _ETHANOL = 0.99823, 0.78934
# Relative expansion per degree: water, ethanol; then the layer, by its strength. From memory, rounded; from 10 to 30
# degrees within 0.1 % of OIML R 22.
_WATER_GROWS, _WATER_GROWS_FASTER, _ETHANOL_GROWS = 2.07e-4, 5e-6, 1.09e-3
_LAYER_GROWS, _LAYER_GROWS_WITH_STRENGTH = 8.3e-4, 1.2e-3
# Relative volume that dissolved hydrocarbon adds to the layer (fixtures/published/extraction_equilibrium.json).
_DISSOLVED = 0.95
# Highest temperature rise on mixing equal volumes of water and fuel, less what the glass absorbs; and the ethanol share
# that brings about two thirds of it (same file, "temperature_rise_on_mixing").
_MOST_RISE, _SOON = 0.88 * 8.2, 0.13
# Minutes in which a tube of 100 mL loses about two thirds of its excess temperature in still air: 370 J/K, 0.02 m2, 10
# W/m2K. Estimated.
_COOLING = 31.0
# Minutes in which a sample in its bottle gets about two thirds of the way to the air's temperature. Estimated.
_FUEL_WARMS = 60.0


@dataclass(frozen=True, slots=True)
class Filled:
    """Contents of a tube: water and fuel as filled, with their temperatures; ethanol and water in the fuel, 0..1."""

    water: float
    fuel: float
    ethanol: float
    fuel_water: float
    water_temperature: float
    fuel_temperature: float


def line(filled: Filled, temperature: float) -> float:
    """Return the parting line at a temperature: the equilibrium, iterated until it no longer changes."""
    fuel_water = filled.fuel_water * filled.fuel
    masses = filled.water * _water(filled.water_temperature) + fuel_water * _water(filled.fuel_temperature)
    ethanol, ethanol_density = filled.ethanol * filled.fuel, _ethanol(filled.fuel_temperature)
    hydrocarbon = filled.fuel - ethanol - fuel_water
    above, dissolved, lower = 0.0, 0.0, 0.0
    for _ in range(50):
        moved = (ethanol - above) * ethanol_density
        strength = moved / (masses + moved)
        lower = (masses + moved) / _layer(strength, temperature)
        dissolved = min(_hydrocarbon_below(strength) * lower, hydrocarbon)
        above = _ethanol_above(strength) * (hydrocarbon - dissolved)
    return lower + _DISSOLVED * dissolved


def printed_percent(at: float, water: float, fuel: float) -> float:
    """Return the printed value of a corrected scale at a line: ethanol into water at 20 degrees, nothing else."""
    low, high = 0.0, 1.2
    for _ in range(50):
        ethanol = (low + high) / 2
        moved = ethanol * fuel * _ETHANOL
        mass = water * _WATER + moved
        low, high = (ethanol, high) if mass / _layer(moved / mass, 20.0) < at else (low, ethanol)
    return 100.0 * low


def warm(filled: Filled, air: float, minutes: float) -> float:
    """Return the temperature of a tube some minutes after shaking."""
    parts = filled.water + filled.fuel
    mixed = (filled.water * filled.water_temperature + 0.6 * filled.fuel * filled.fuel_temperature) / (
        filled.water + 0.6 * filled.fuel  # Per volume, fuel has about 0.6 of water's heat capacity.
    )
    rise = _MOST_RISE * (1.0 - exp(-filled.ethanol / _SOON))
    return air + (mixed + rise - air) * exp(-minutes / (_COOLING * (parts / 100.0) ** 0.25))


@dataclass(frozen=True, slots=True)
class Weather:
    """Temperatures where a sample is tested, degrees Celsius: the water, the fuel, the air."""

    water: float
    fuel: float
    air: float

    @classmethod
    def at(cls, random: Random, summer: float, minutes: float) -> "Weather":
        """Return them some minutes after a sample left an underground tank; nobody tests where water freezes.

        summer: 1 in high summer, -1 in the depth of winter.
        """
        air = max(3.0, 11 + 9 * summer + random.gauss(0, 3))
        ground = 11 + 4 * summer
        return cls(air + random.gauss(0, 0.5), air + (ground - air) * exp(-minutes / _FUEL_WARMS), air)


def _water(temperature: float) -> float:
    off = temperature - 20.0
    return _WATER / (1.0 + _WATER_GROWS * off + _WATER_GROWS_FASTER * off * off)


def _ethanol(temperature: float) -> float:
    return _ETHANOL / (1.0 + _ETHANOL_GROWS * (temperature - 20.0))


def _layer(strength: float, temperature: float) -> float:
    """The density of ethanol and water: interpolated linearly in the table, and extrapolated beyond it."""
    low = min(max(int((strength - _FIRST) / _STEP), 0), len(_DENSITIES) - 2)
    part = (strength - _FIRST) / _STEP - low
    at_20 = _DENSITIES[low] + part * (_DENSITIES[low + 1] - _DENSITIES[low])
    grows = _LAYER_GROWS + _LAYER_GROWS_WITH_STRENGTH * (strength - 0.45)
    return at_20 / (1.0 + grows * (temperature - 20.0))


def _hydrocarbon_below(strength: float) -> float:
    """Volume that a millilitre of the lower layer dissolves, mL (same file, "closed_form": 28 % aromatics)."""
    return float(10.0 ** (-3.722 + strength * (2.183 + strength * (4.601 - 1.106 * strength))))


def _ethanol_above(strength: float) -> float:
    """Volume that a millilitre of the upper layer retains, mL (same place)."""
    return strength * (0.01565 + strength * (0.04875 + 0.0075 * strength))
