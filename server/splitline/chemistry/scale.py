"""The printed scales of tubes: a reading on any of them is converted to the volume of the lower layer."""

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.extraction import Filling, Temperatures, content_of_line
from splitline.chemistry.measurement import Scale, ScaleKind
from splitline.chemistry.polynomial import Array, Real

# A corrected scale is assumed to be drawn for this temperature, in degrees Celsius, and for dry fuel.
DRAWN_AT = 20.0


def line_of_reading(scale: Scale, reading: float, water: float, fuel: float) -> float:
    """Return the lower layer's volume in mL for a reading.

    scale: `volume`, reading in mL; `linear`, printed percent 100 (Vl - Vw)/Vf; `corrected`, printed percent corrected
    for the shrinkage at 20 degrees Celsius with dry fuel. water, fuel: the volumes at the tube's marks, mL.
    """
    return float(lines_of_readings(np.array(scale), reading, water, fuel))


def lines_of_readings(scale: NDArray[np.str_], reading: Real, water: Real, fuel: Real) -> Array:
    """Return the lines of many readings, each on its kind of scale; see `line_of_reading`."""
    lines, corrected = np.where(scale == "volume", reading, water + fuel * reading / 100.0), scale == "corrected"
    if not np.any(corrected):
        return lines
    drawn_at = Temperatures.all_at(np.full_like(water, DRAWN_AT))
    return np.where(corrected, Filling.of(water, fuel, drawn_at, 0.0).lines(reading), lines)


def reading_of_line(scale: Scale, line: float, water: float, fuel: float) -> float:
    """Return the reading on the scale, in mL or printed percent, for a line at `line` mL."""
    match scale:
        case "volume":
            return line
        case "linear":
            return 100.0 * (line - water) / fuel
        case "corrected":
            return content_of_line(line, water, fuel, DRAWN_AT, 0.0)


def step_in_millilitres(scale: ScaleKind, graduation: float, fuel: float) -> float:
    """Return the smallest step of the scale in mL; on a percent scale `graduation` is in printed percent."""
    return graduation if scale == "volume" else fuel * graduation / 100.0
