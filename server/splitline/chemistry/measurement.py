"""The inputs of one test: the tube, its runs and the conditions, as plain values."""

from dataclasses import dataclass
from typing import Literal

# Kinds of printed scale: `volume` graduations in mL; `linear` a printed percent that ignores the shrinkage; `corrected`
# a printed percent that corrects for it. Records, app, commands and tests use this list.
Scale = Literal["volume", "linear", "corrected"]
ScaleKind = Literal[Scale, "unknown"]
Liquid = Literal["water", "brine"]
# Scales that can be read with brine: those on which the reading does not depend on how ethanol shrinks in water.
BRINE_SCALES: tuple[Scale, ...] = ("volume", "linear")

# Water in the fuel if unknown: half of what the specifications allow, plus or minus the same.
USUAL_FUEL_WATER = 0.5


@dataclass(frozen=True, slots=True)
class CalibrationMark:
    """A mark of a tube: the volume printed at it and the volume weighed into it, mL."""

    nominal: float
    true: float


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube and what is known of it.

    graduation: smallest step, in mL on a volume scale, else in printed %. tolerance: limit of error of the marks in mL,
    if stated; it counts only until the marks are calibrated. offset: by how much the tube reads low, %, found with a
    known sample, with its expanded uncertainty (95 %). offset_content: content of that sample, %; None for an offset
    from before the exchange correction, which includes it.
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

    line_half_width: half-width of the line's uncertainty, mL, if read from a photo. tube: if it is not the test's.
    set_aside: why the run does not count; empty if it does.
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

    temperature: of the tube when read, degrees Celsius. water_temperature, fuel_temperature: when filled; one that is
    None equals the other, and if both are, the tube's. fuel_water: % (V/V).
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
    """Return the runs that count: those that are not set aside."""
    return tuple([run for run in measurement.runs if not run.set_aside])
