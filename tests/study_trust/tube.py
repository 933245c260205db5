"""A tube's line for a fuel, by an independent mass balance from published values; imports nothing from the server.

50 mL of water, 50 mL of fuel with 0.5 % (V/V) of water, everything at 20 degrees Celsius. All ethanol moves down; the
further exchange between the layers is added as a published bias. Sources: the fixtures named below.
"""

import json
from bisect import bisect
from collections.abc import Sequence
from functools import cache
from pathlib import Path

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
WATER = FUEL = 50.0
FUEL_WATER = 0.5
"""Water in the fuel, % (V/V)."""
TEMPERATURE = 20.0


@cache
def _densities() -> tuple[float, ...]:
    """Coefficients at 20 degrees Celsius of OIML R 22 (1975), by powers of the mass fraction of ethanol, kg/m3."""
    table = json.loads((PUBLISHED / "density_formula.json").read_text())
    return tuple(table["A"])


@cache
def _biases() -> tuple[Sequence[float], Sequence[float]]:
    """Contents in % (V/V), and by how many points equal volumes read too high, from equilibria."""
    table = json.loads((PUBLISHED / "extraction_equilibrium.json").read_text())["correction"]
    return table["contents_percent"], table["bias_points"]["1:1"]["value"]


def density(fraction: float) -> float:
    """Return the density of ethanol and water at 20 degrees Celsius, kg/m3. fraction: ethanol by mass, 0..1."""
    return sum(factor * fraction**power for power, factor in enumerate(_densities()))


def bias(content: float) -> float:
    """Return by how many points a content is read too high."""
    contents, values = _biases()
    right = min(max(bisect(contents, content), 1), len(contents) - 1)
    low, high = contents[right - 1], contents[right]
    share = (content - low) / (high - low)
    return values[right - 1] + share * (values[right] - values[right - 1])


def line_of(content: float) -> float:
    """Return the line of a content (10..98 % (V/V)) in an exact tube, mL."""
    ethanol = density(1.0) * FUEL * (content + bias(content)) / 100
    water = density(0.0) * (WATER + FUEL * FUEL_WATER / 100)
    return (ethanol + water) / density(ethanol / (ethanol + water))
