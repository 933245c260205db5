"""What makes a run uncertain: each component with its standard uncertainty, shape and sensitivity (JCGM 100)."""

from dataclasses import dataclass
from math import sqrt

from splitline.chemistry.coverage import GAUSSIAN, NORMAL, RECTANGULAR, TRIANGULAR
from splitline.chemistry.extraction import Sensitivities, sensitivities
from splitline.chemistry.measurement import Measurement, Run
from splitline.chemistry.scale import Scale, step_in_millilitres

# Half-widths in the unit of the input. Fuel water: the specifications allow up to about 1 %.
FUEL_WATER_HALF_WIDTH = 0.5
# Ethanol left above and hydrocarbons dissolved below, in % of content. From memory: no published bound was found.
EXTRACTION_HALF_WIDTH = 0.5
# Standard uncertainties of the temperature in degrees.
TEMPERATURE_GUESSED = 2.0
TEMPERATURE_MEASURED = 0.5


@dataclass(frozen=True, slots=True)
class Component:
    """One source of uncertainty of one run.

    uncertainty: standard, in the input's unit. sensitivity: % of content per unit. kurtosis: excess, of its shape.
    shared: the same in all runs in this tube, so that repeating does not shrink it.
    """

    name: str
    uncertainty: float
    sensitivity: float
    kurtosis: float
    shared: bool

    @property
    def contribution(self) -> float:
        """Standard uncertainty of the content from this component alone, %."""
        return abs(self.sensitivity) * self.uncertainty


def components(measurement: Measurement, run: Run, scale: Scale, content: float) -> list[Component]:
    """Return the components of one run read on `scale`, which gave `content` %, in a fixed order.

    Fills: rectangular, half a step. Line: triangular, half a step, or the half-width seen in a photo. Marks:
    rectangular, the tube's limit of error at each of the three volumes, none after calibration. Temperature: 2 degrees
    if guessed, 0.5 if measured.
    """
    tube = measurement.tube
    slopes = _slopes(measurement, run, content)
    half_step = step_in_millilitres(scale, tube.graduation, run.fuel) / 2.0
    line_half_width = half_step if run.line_half_width is None else run.line_half_width
    tolerance = 0.0 if tube.calibration else (tube.tolerance or 0.0)
    marks, marks_kurtosis = _three_marks(slopes)
    temperature = TEMPERATURE_MEASURED if measurement.temperature_measured else TEMPERATURE_GUESSED
    return [
        Component("water_fill", half_step / sqrt(3.0), slopes.water, RECTANGULAR, False),
        Component("fuel_fill", half_step / sqrt(3.0), slopes.fuel, RECTANGULAR, False),
        Component("line", line_half_width / sqrt(6.0), slopes.line, TRIANGULAR, False),
        Component("marks", tolerance / sqrt(3.0), marks, marks_kurtosis, True),
        Component("fuel_water", FUEL_WATER_HALF_WIDTH / sqrt(3.0), slopes.fuel_water, RECTANGULAR, True),
        Component("temperature", temperature, slopes.temperature, GAUSSIAN, True),
        Component("extraction", EXTRACTION_HALF_WIDTH / sqrt(3.0), 1.0, RECTANGULAR, True),
        Component("tube_offset", tube.offset_uncertainty / NORMAL, 1.0, GAUSSIAN, True),
    ]


def top_difference_uncertainty(measurement: Measurement, run: Run, scale: Scale, content: float) -> float:
    """Return the standard uncertainty, %, of the difference between the contents by the line and by the fuel's top."""
    assert run.top is not None
    slopes = _slopes(measurement, run, content)
    half_step = step_in_millilitres(scale, measurement.tube.graduation, run.fuel) / 2.0
    line_half_width = half_step if run.line_half_width is None else run.line_half_width
    above = 1.0 - (content + measurement.fuel_water) / 100.0
    parts = [
        (half_step / sqrt(3.0), slopes.water),
        (half_step / sqrt(3.0), slopes.fuel - 100.0 * above / run.fuel),
        (line_half_width / sqrt(6.0), slopes.line - 100.0 / run.fuel),
        (half_step / sqrt(6.0), 100.0 / run.fuel),
        (FUEL_WATER_HALF_WIDTH / sqrt(3.0), slopes.fuel_water + 1.0),
        (EXTRACTION_HALF_WIDTH / sqrt(3.0), 1.0),
    ]
    return sqrt(sum((uncertainty * sensitivity) ** 2 for uncertainty, sensitivity in parts))


def _three_marks(slopes: Sensitivities) -> tuple[float, float]:
    """The sensitivity to three independent marks of the same tolerance, and the excess kurtosis of their sum."""
    squares = [slopes.line**2, slopes.water**2, slopes.fuel**2]
    variance = sum(squares)
    return sqrt(variance), RECTANGULAR * sum(square**2 for square in squares) / variance**2


def _slopes(measurement: Measurement, run: Run, content: float) -> Sensitivities:
    if measurement.tube.liquid == "brine":
        per_line = 100.0 / run.fuel
        return Sensitivities(per_line, -per_line, -(content - 1.0) / run.fuel, 0.0, 0.0)
    return sensitivities(content, run.water, run.fuel, measurement.temperature, measurement.fuel_water)
