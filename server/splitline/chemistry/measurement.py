"""What is measured in one test: the tube, its runs and the conditions, as plain values."""

from dataclasses import dataclass
from typing import Literal

ScaleKind = Literal["volume", "linear", "corrected", "unknown"]
Liquid = Literal["water", "brine"]

# Water in the fuel when nothing is known: half of what the specifications allow, and as much either way.
USUAL_FUEL_WATER = 0.5


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube: kind of scale, smallest step (mL, or printed %), liquid, limit of error of its marks (mL) if stated."""

    scale: ScaleKind
    graduation: float
    liquid: Liquid = "water"
    tolerance: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """One filling: water, fuel, line and top of the fuel in mL; or the line as a printed percent."""

    water: float
    fuel: float
    line: float | None = None
    percent: float | None = None
    top: float | None = None


@dataclass(frozen=True, slots=True)
class Measurement:
    """One or more runs on one sample. temperature: degrees Celsius. fuel_water: % (V/V)."""

    tube: Tube
    runs: tuple[Run, ...]
    temperature: float = 20.0
    temperature_measured: bool = False
    fuel_water: float = USUAL_FUEL_WATER
