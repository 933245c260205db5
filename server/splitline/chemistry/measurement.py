"""What is measured in one test: the tube, its runs and the conditions, as plain values."""

from dataclasses import dataclass
from typing import Literal

# What can be printed on a tube: `volume` graduations in mL; `linear` a printed percent that ignores the shrinkage;
# `corrected` a printed percent that allows for it. Records, app, command line and tests take the kinds from here.
Scale = Literal["volume", "linear", "corrected"]
ScaleKind = Literal[Scale, "unknown"]
Liquid = Literal["water", "brine"]
# Scales that are read with brine: on these the reading does not rest on how ethanol shrinks in water.
BRINE_SCALES: tuple[Scale, ...] = ("volume", "linear")

# Water in the fuel when nothing is known: half of what the specifications allow, and as much either way.
USUAL_FUEL_WATER = 0.5


@dataclass(frozen=True, slots=True)
class CalibrationMark:
    """A mark of a tube: the volume printed at it and the volume weighed to it, mL."""

    nominal: float
    true: float


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube and what is known of it.

    graduation: smallest step, in mL on a volume scale, else in printed %. tolerance: limit of error of the marks in mL,
    if stated; it counts only until the marks are calibrated. offset: what the tube reads too low, %, from a known
    sample, with its expanded uncertainty (95 %). offset_content: what that sample held, %; None for an offset from
    before exchange was allowed for, which holds it.
    """

    scale: ScaleKind
    graduation: float
    liquid: Liquid = "water"
    tolerance: float | None = None
    calibration: tuple[CalibrationMark, ...] = ()
    offset: float = 0.0
    offset_uncertainty: float = 0.0
    offset_content: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """One filling: water, fuel, line and top of the fuel in mL; or the line as a printed percent.

    line_half_width: how far the line may lie from the reading, mL, where it was read from a photo. tube: where it is
    another one than the test's. set_aside: why it does not count; empty where it does.
    """

    water: float
    fuel: float
    line: float | None = None
    percent: float | None = None
    top: float | None = None
    line_half_width: float | None = None
    tube: Tube | None = None
    set_aside: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One or more runs on one sample.

    temperature: of the tube when read, degrees Celsius. water_temperature, fuel_temperature: of what was filled, when
    it was filled; one that is None is as the other, and if both are, as the tube. fuel_water: % (V/V).
    """

    tube: Tube
    runs: tuple[Run, ...]
    temperature: float = 20.0
    temperature_measured: bool = False
    fuel_water: float = USUAL_FUEL_WATER
    water_temperature: float | None = None
    water_temperature_measured: bool = False
    fuel_temperature: float | None = None
    fuel_temperature_measured: bool = False


def counted(measurement: Measurement) -> tuple[Run, ...]:
    """Return the runs that count: those that nobody has set aside."""
    return tuple([run for run in measurement.runs if not run.set_aside])
