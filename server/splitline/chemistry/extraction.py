"""What happens in the tube: ethanol moves from the fuel into the water, and both shrink on mixing.

Water Vw and fuel Vf are filled; after shaking and settling the parting line stands at Vl, the volume of the lower
layer. With E the ethanol and w the water in the fuel (fractions of the fuel's volume), all at the tube's temperature T:

    m_w = (Vw + w Vf) rho(0, T)      m_e = E Vf rho(1, T)
    Vl = (m_w + m_e) / rho(m_e / (m_w + m_e), T)
"""

from dataclasses import dataclass

from splitline.chemistry.density import density, density_by_fraction, density_by_temperature

# The line rises with the content over this whole bracket, wider than any content that can be real.
_LOWEST, _HIGHEST = -0.3, 1.4


@dataclass(frozen=True, slots=True)
class Sensitivities:
    """How the content, in %, follows each input: % per mL, per mL, per mL, per % and per degree."""

    line: float
    water: float
    fuel: float
    fuel_water: float
    temperature: float


@dataclass(frozen=True, slots=True)
class Slopes:
    """The line's partial derivatives, mL per unit of each input; ethanol as a fraction of the fuel."""

    ethanol: float
    water: float
    fuel: float
    fuel_water: float
    temperature: float


def line_of_content(content: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """Return the volume of the lower layer in mL.

    content: % (V/V) ethanol in the fuel. water, fuel: volumes filled, mL. temperature: -20..40 degrees Celsius.
    fuel_water: % (V/V) water in the fuel.

    >>> round(line_of_content(84.0, 50.0, 50.0, 20.0, 0.0), 1)
    88.8
    """
    return _line(content / 100.0, water, fuel, temperature, fuel_water / 100.0)


def content_of_line(line: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """Return the ethanol content in % (V/V) for a parting line at `line` mL; the other arguments as above.

    Bracketed Newton steps to 1e-12 of the fuel's volume. A line that no content between -30 and 140 % explains gives
    the nearer end of that range.
    """
    low, high = _LOWEST, _HIGHEST
    ethanol = min(max((line - water) / fuel, low), high)
    for _ in range(100):
        excess = _line(ethanol, water, fuel, temperature, fuel_water / 100.0) - line
        if excess > 0.0:
            high = ethanol
        else:
            low = ethanol
        step = excess / slopes_at(max(ethanol, 0.0), water, fuel, temperature, fuel_water / 100.0).ethanol
        following = ethanol - step
        if not low <= following <= high:
            following = (low + high) / 2.0
        if abs(following - ethanol) < 1e-12:
            return 100.0 * following
        ethanol = following
    return 100.0 * ethanol


def sensitivities(content: float, water: float, fuel: float, temperature: float, fuel_water: float) -> Sensitivities:
    """Return how the content found from a line follows each input, by implicit differentiation (JCGM 100, 5.1)."""
    slopes = slopes_at(max(content, 0.0) / 100.0, water, fuel, temperature, fuel_water / 100.0)
    per_line = 100.0 / slopes.ethanol
    return Sensitivities(
        line=per_line,
        water=-per_line * slopes.water,
        fuel=-per_line * slopes.fuel,
        fuel_water=-per_line * slopes.fuel_water / 100.0,
        temperature=-per_line * slopes.temperature,
    )


def content_of_top(line: float, top: float, fuel: float) -> float:
    """Return the content in % by the fuel layer that is left: what is missing above moved below. Volumes in mL."""
    return 100.0 * (1.0 - (top - line) / fuel)


def brine_content(line: float, water: float, fuel: float) -> float:
    """Return the content in % by ABNT NBR 13992:1997, section 6, for 10 % (m/V) sodium chloride solution.

    The standard's 2 (A - 50) + 1 for 50 mL of fuel made up to 100 mL, written for any volumes; a rise below 1 % of the
    fuel (0.5 mL of 50) is reported as 1 %.
    """
    rise = 100.0 * (line - water) / fuel
    return 1.0 if rise < 1.0 else rise + 1.0


def brine_line(content: float, water: float, fuel: float) -> float:
    """Return the line in mL that `brine_content` turns into `content` (above 2 %)."""
    return water + fuel * (content - 1.0) / 100.0


def line_at(ethanol: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """Return the line in mL for ethanol >= 0 and fuel_water as fractions of the fuel; numpy arrays give arrays."""
    mass_ethanol = ethanol * fuel * density(1.0, temperature)
    mass = (water + fuel_water * fuel) * density(0.0, temperature) + mass_ethanol
    return mass / density(mass_ethanol / mass, temperature)


def slopes_at(ethanol: float, water: float, fuel: float, temperature: float, fuel_water: float) -> Slopes:
    """Return the line's partial derivatives for ethanol >= 0 and fuel_water as fractions; numpy arrays give arrays."""
    rho_water, rho_ethanol = density(0.0, temperature), density(1.0, temperature)
    mass_ethanol = ethanol * fuel * rho_ethanol
    mass = (water + fuel_water * fuel) * rho_water + mass_ethanol
    fraction = mass_ethanol / mass
    rho = density(fraction, temperature)
    bend = density_by_fraction(fraction, temperature) / (rho * rho)
    per_ethanol = 1.0 / rho - bend * (1.0 - fraction)
    per_water = 1.0 / rho + bend * fraction
    expansion = (
        per_water * (water + fuel_water * fuel) * density_by_temperature(0.0, temperature)
        + per_ethanol * ethanol * fuel * density_by_temperature(1.0, temperature)
        - mass * density_by_temperature(fraction, temperature) / (rho * rho)
    )
    return Slopes(
        ethanol=per_ethanol * fuel * rho_ethanol,
        water=per_water * rho_water,
        fuel=per_water * fuel_water * rho_water + per_ethanol * ethanol * rho_ethanol,
        fuel_water=per_water * fuel * rho_water,
        temperature=expansion,
    )


def _line(ethanol: float, water: float, fuel: float, temperature: float, fuel_water: float) -> float:
    """The line; below 0, where only the noise of a reading leads, the formula ends and the line goes on straight."""
    if ethanol >= 0.0:
        return line_at(ethanol, water, fuel, temperature, fuel_water)
    slope = slopes_at(0.0, water, fuel, temperature, fuel_water).ethanol
    return line_at(0.0, water, fuel, temperature, fuel_water) + slope * ethanol
