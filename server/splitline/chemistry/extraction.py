"""What happens in the tube: ethanol moves from the fuel into the water, and both shrink on mixing.

Water Vw at Tw and fuel Vf at Tf are filled; after shaking and settling the parting line is at Vl, the volume of the
lower layer at the tube's temperature T. Mixing heats the tube, so these are three temperatures. With E the ethanol and
w the water in the fuel (fractions of the fuel's volume):

    m_w = Vw rho(0, Tw) + w Vf rho(0, Tf)      m_e = E Vf rho(1, Tf)
    Vl = (m_w + m_e) / rho(m_e / (m_w + m_e), T)

Exchange between the layers besides ethanol is corrected afterwards: `exchange.py`.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from splitline.chemistry.density import densities, density_at, pure_densities
from splitline.chemistry.polynomial import Array, Real, with_slope

# Search range for contents, as fractions: wider than any that can be real.
_LOWEST, _HIGHEST = -0.3, 1.4
_STEPS = 60


class Sensitivities(NamedTuple):
    """Sensitivity of the content, in %, to each input: % per mL (line, water, fuel), per % and per degree.

    temperature: of the tube when read; the other two of water and fuel when filled.
    """

    line: Array
    water: Array
    fuel: Array
    fuel_water: Array
    temperature: Array
    water_temperature: Array
    fuel_temperature: Array


class Temperatures(NamedTuple):
    """Temperatures of the water and the fuel when filled, and of the tube when read: degrees Celsius, -20..40."""

    water: Real
    fuel: Real
    read: Real

    @classmethod
    def all_at(cls, temperature: Real) -> "Temperatures":
        """Return one temperature for everything."""
        return cls(temperature, temperature, temperature)


@dataclass(frozen=True, slots=True)
class Filling:
    """Water and fuel in one tube or in many: numbers, or arrays of one shape.

    water, fuel: mL. water_mass: mg, with the fuel's water. rho_ethanol: kg/m3, of the fuel's ethanol when filled.
    mixture: `density_at` the temperature of reading, computed once for all steps of a solution.
    """

    water: Real
    fuel: Real
    water_mass: Array
    rho_ethanol: Array
    mixture: Array

    @classmethod
    def of(cls, water: Real, fuel: Real, temperatures: Temperatures, fuel_water: Real) -> "Filling":
        """Return fillings of `water` and `fuel`, mL, with `fuel_water` % (V/V)."""
        rho_water, *_ = pure_densities(temperatures.water)
        rho_fuel_water, rho_ethanol, *_ = pure_densities(temperatures.fuel)
        water_mass = water * rho_water + fuel_water / 100.0 * fuel * rho_fuel_water
        return cls(water, fuel, water_mass, rho_ethanol, density_at(temperatures.read))

    def lines(self, content: Real) -> Array:
        """Return the volume of the lower layer in mL for contents in % (V/V)."""
        return self._lines(content / 100.0)[0]

    def contents(self, line: Real) -> Array:
        """Return the contents in % that explain lines in mL, -30..140: a line beyond that gives the nearer end.

        Newton's method on all fillings together, until no content changes by 1e-5 %: the remaining error is of the
        order of that step's square. It needs no bracket: the slope of the line changes too little to overshoot, as
        ethanol's partial volume in water is 0.84 to 1.00 of its own by the formula, -20..40 degrees.
        """
        ethanol = np.clip((line - self.water) / self.fuel, _LOWEST, _HIGHEST)
        for _ in range(_STEPS):
            found, slope = self._lines(ethanol)
            before, ethanol = ethanol, np.clip(ethanol - (found - line) / slope, _LOWEST, _HIGHEST)
            if np.abs(ethanol - before).max(initial=0.0) < 1e-7:
                break
        return 100.0 * ethanol

    def _lines(self, ethanol: Real) -> tuple[Array, Array]:
        """The lines, and their slopes, for ethanol as fractions of the fuel.

        Below 0, reached only through reading noise, the formula does not apply and the line is extrapolated linearly.
        """
        mass_ethanol = np.maximum(ethanol, 0.0) * self.fuel * self.rho_ethanol
        mass = self.water_mass + mass_ethanol
        fraction = mass_ethanol / mass
        rho, bend = with_slope(self.mixture, fraction)
        slope = (1.0 / rho - bend / (rho * rho) * (1.0 - fraction)) * self.fuel * self.rho_ethanol
        return mass / rho + slope * np.minimum(ethanol, 0.0), slope


def line_of_content(content: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """Return the volume of the lower layer in mL.

    content: % (V/V) ethanol in the fuel. water, fuel: volumes filled, mL. temperature: -20..40 degrees Celsius.
    fuel_water: % (V/V) water in the fuel.

    >>> round(line_of_content(84.0, 50.0, 50.0, 20.0, 0.0), 1)
    88.8
    """
    return float(Filling.of(water, fuel, Temperatures.all_at(temperature), fuel_water).lines(content))


def content_of_line(line: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """Return the ethanol content in % (V/V) for a parting line at `line` mL; see `Filling.contents`."""
    return float(Filling.of(water, fuel, Temperatures.all_at(temperature), fuel_water).contents(line))


def strength(content: Real, water: Real, fuel: Real, temperatures: Temperatures, fuel_water: Real) -> Array:
    """Return the mass fraction of ethanol in the lower layer, 0..1."""
    filling = Filling.of(water, fuel, temperatures, fuel_water)
    mass_ethanol = np.maximum(content, 0.0) / 100.0 * fuel * filling.rho_ethanol
    fraction: Array = mass_ethanol / (filling.water_mass + mass_ethanol)
    return fraction


def sensitivities(
    content: Real, water: Real, fuel: Real, temperatures: Temperatures, fuel_water: Real
) -> Sensitivities:
    """Return the sensitivity of the content from a line to each input, by implicit differentiation (JCGM 100, 5.1).

    Arguments as for `line_of_content`, numbers or arrays.
    """
    ethanol, wet = np.maximum(content, 0.0) / 100.0, fuel_water / 100.0
    rho_water, _, water_warming, _ = pure_densities(temperatures.water)
    rho_fuel_water, rho_ethanol, fuel_water_warming, ethanol_warming = pure_densities(temperatures.fuel)
    mass_ethanol = ethanol * fuel * rho_ethanol
    mass = water * rho_water + wet * fuel * rho_fuel_water + mass_ethanol
    fraction = mass_ethanol / mass
    rho, slope, warming = densities(fraction, temperatures.read)
    bend = slope / (rho * rho)
    per_water, per_ethanol = 1.0 / rho + bend * fraction, 1.0 / rho - bend * (1.0 - fraction)
    by_water, by_fuel_water, by_ethanol = per_water * rho_water, per_water * rho_fuel_water, per_ethanol * rho_ethanol
    per_line = 100.0 / (by_ethanol * fuel)
    return Sensitivities(
        line=per_line,
        water=-per_line * by_water,
        fuel=-per_line * (by_fuel_water * wet + by_ethanol * ethanol),
        fuel_water=-per_line * by_fuel_water * fuel / 100.0,
        temperature=per_line * mass * warming / (rho * rho),
        water_temperature=-per_line * per_water * water * water_warming,
        fuel_temperature=-per_line
        * fuel
        * (per_water * wet * fuel_water_warming + per_ethanol * ethanol * ethanol_warming),
    )


def content_of_top(line: Array, top: Array, fuel: Array) -> Array:
    """Return the content in % from the fuel layer that is left: what is missing went below. Volumes in mL."""
    return 100.0 * (1.0 - (top - line) / fuel)


def brine_content(line: Array, water: Array, fuel: Array) -> Array:
    """Return the content in % by ABNT NBR 13992:1997, section 6, for 10 % (m/V) sodium chloride solution.

    The standard's 2 (A - 50) + 1 for 50 mL of fuel made up to 100 mL, generalised to any volumes; a rise below 1 % of
    the fuel (0.5 mL of 50) is reported as 1 %.
    """
    rise = 100.0 * (line - water) / fuel
    return 1.0 + rise * (rise >= 1.0)


def brine_line(content: float, water: float, fuel: float) -> float:
    """Return the line in mL that `brine_content` turns into `content` (above 2 %)."""
    return water + fuel * (content - 1.0) / 100.0
