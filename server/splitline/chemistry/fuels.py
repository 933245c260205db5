"""Blend figures for tuning an engine, from the ethanol content."""

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

from splitline.chemistry.constants import load

_FUELS = load("fuels")
_ETHANOL, _GASOLINE = _FUELS["ethanol"], _FUELS["gasoline"]
GASOLINE_GRAVITY: float = _GASOLINE["specific_gravity"]
_GRAVITY_HALF_WIDTH: float = _GASOLINE["specific_gravity_half_width"]
_WATER_DENSITY: float = _FUELS["water_density_60f"]
JOULES_PER_BTU = 1055.05585262
LITRES_PER_GALLON = 3.785411784


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with its expanded uncertainty (95 %), both in the same unit."""

    value: float
    expanded_uncertainty: float


@dataclass(frozen=True, slots=True)
class EngineFigures:
    """Figures of a blend at 60 F.

    stoichiometric_ratio: kg of air per kg of fuel. density: kg/L. heating_value: lower, MJ/L. heating_value_per_gallon:
    lower, Btu/US gal. flow_ratio: volume flow relative to gasoline at the same lambda and air.
    """

    stoichiometric_ratio: Figure
    density: Figure
    heating_value: Figure
    heating_value_per_gallon: Figure
    flow_ratio: Figure


def specific_gravity(content: float, gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return the specific gravity 60/60 F of a blend; content in % (V/V), gasoline: its specific gravity.

    Volumes are treated as additive: the excess volume of ethanol and gasoline is below 0.5 %.
    """
    share = content / 100.0
    return share * float(_ETHANOL["specific_gravity"]) + (1.0 - share) * gasoline


def stoichiometric_ratio(content: float, gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return kg of air per kg of fuel for complete combustion.

    >>> round(stoichiometric_ratio(85.0), 2)
    9.81
    """
    return _air_per_litre(content, gasoline) / specific_gravity(content, gasoline)


def density(content: float, gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return the density at 60 F in kg/L."""
    return specific_gravity(content, gasoline) * _WATER_DENSITY


def heating_value_per_gallon(content: float, _gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return the lower heating value in Btu per US gallon, by volume."""
    share = content / 100.0
    ethanol, gasoline = _ETHANOL["heating_value_btu_per_gallon"], _GASOLINE["heating_value_btu_per_gallon"]
    return share * float(ethanol) + (1.0 - share) * float(gasoline)


def heating_value(content: float, _gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return the lower heating value in MJ/L."""
    return heating_value_per_gallon(content) * JOULES_PER_BTU / LITRES_PER_GALLON / 1e6


def flow_ratio(content: float, gasoline: float = GASOLINE_GRAVITY) -> float:
    """Return the fuel volume needed relative to pure gasoline, for the same air at the same lambda."""
    return _air_per_litre(0.0, gasoline) / _air_per_litre(content, gasoline)


def engine_figures(content: float, expanded_uncertainty: float) -> EngineFigures:
    """Return all figures with their uncertainty, from those of the content and of the gasoline's density."""
    return EngineFigures(
        stoichiometric_ratio=_figure(stoichiometric_ratio, content, expanded_uncertainty),
        density=_figure(density, content, expanded_uncertainty),
        heating_value=_figure(heating_value, content, expanded_uncertainty),
        heating_value_per_gallon=_figure(heating_value_per_gallon, content, expanded_uncertainty),
        flow_ratio=_figure(flow_ratio, content, expanded_uncertainty),
    )


def _air_per_litre(content: float, gasoline: float) -> float:
    """Air for one litre of blend, in kg per kg of water."""
    share = content / 100.0
    return share * float(_ETHANOL["specific_gravity"]) * float(_ETHANOL["stoichiometric_ratio"]) + (
        1.0 - share
    ) * gasoline * float(_GASOLINE["stoichiometric_ratio"])


def _figure(function: Callable[[float, float], float], content: float, expanded_uncertainty: float) -> Figure:
    by_content = (function(content + 0.5, GASOLINE_GRAVITY) - function(content - 0.5, GASOLINE_GRAVITY)) * (
        expanded_uncertainty
    )
    low, high = GASOLINE_GRAVITY - _GRAVITY_HALF_WIDTH, GASOLINE_GRAVITY + _GRAVITY_HALF_WIDTH
    by_gravity = (function(content, high) - function(content, low)) / sqrt(3.0)  # 2 u of a rectangular component
    return Figure(function(content, GASOLINE_GRAVITY), sqrt(by_content**2 + by_gravity**2))
