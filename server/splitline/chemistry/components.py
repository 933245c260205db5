"""The uncertainty components of a run, each with its standard uncertainty, shape and sensitivity (JCGM 100)."""

from collections.abc import Collection
from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np

from splitline.chemistry.coverage import GAUSSIAN, NORMAL, RECTANGULAR, TRIANGULAR, TWO_POINTS
from splitline.chemistry.density import density
from splitline.chemistry.extraction import Sensitivities, sensitivities
from splitline.chemistry.polynomial import Array, Real
from splitline.chemistry.runs import Runs

# Half-widths, in the unit of the input. Fuel water: the specifications allow up to about 1 %.
FUEL_WATER_HALF_WIDTH = 0.5
# Standard uncertainties of the tube's temperature, and of the filled water's and fuel's, in degrees. A guess may be far
# off for fuel from an underground tank. Common practice, no source.
TEMPERATURE_GUESSED, FILLED_GUESSED = 2.0, 4.0
TEMPERATURE_MEASURED = 0.5
# Half-width of the error a scale adds to every mark weighed on it, mL. Common practice, no source.
WEIGHING_HALF_WIDTH = 0.1

Scope = Literal["run", "tube", "all"]
# All components, in the order of the rows below.
SCOPES: dict[str, Scope] = {
    "water_fill": "run",
    "fuel_fill": "run",
    "line": "run",
    "marks": "tube",
    "calibration": "tube",
    "fuel_water": "all",
    "temperature": "all",
    "water_temperature": "all",
    "fuel_temperature": "all",
    "exchange": "all",
    "tube_offset": "tube",
    "scale_kind": "tube",
}
# Scatter of the runs beyond all of these is also a component of the content.
NAMES = (*SCOPES, "scatter")


@dataclass(frozen=True, slots=True)
class Components:
    """Uncertainty components, one per row; the columns are runs or tests.

    scopes: independent in every run; shared by all runs in one tube; or shared by all, so that neither another run nor
    another tube reduces it. uncertainty: standard, in the input's unit. effect: the change in content it causes, %,
    signed. kurtosis: excess, of its shape.
    """

    names: tuple[str, ...]
    scopes: tuple[Scope, ...]
    uncertainty: Array
    effect: Array
    kurtosis: Array

    def variance(self, *scopes: Scope) -> Array:
        """The squared standard uncertainty of the content, %, from the components in some scopes."""
        squares: Array = (self.effect[[scope in scopes for scope in self.scopes]] ** 2).sum(axis=0)
        return squares


def components(
    runs: Runs, contents: Array, slopes: Sensitivities, exchange: Array, only: Collection[str] | None
) -> Components:
    """Return the components of runs, in a fixed order; only those named in `only` unless it is None.

    contents: %, a row for each possible kind of scale. exchange: standard uncertainty of the exchange between the
    layers, points. Fills: rectangular, half a step, at the water mark and at the top mark, to which a person fills.
    Line: triangular, half a step, or the half-width from a photo. Marks: rectangular, the tube's limit of error at each
    of the three, none after calibration; then the error that one scale adds to all of them. Scale kind: where unknown,
    the two kinds are equally far from the middle.
    """
    tube, at, half_step = runs.in_tube, runs.at, runs.half_step
    by_water_mark = slopes.water - slopes.fuel
    marks, marks_kurtosis = _three_marks(slopes.line, by_water_mark, slopes.fuel)
    tolerance = np.where(tube.calibrated, 0.0, np.nan_to_num(tube.tolerance))
    weighing = np.where(tube.calibrated, WEIGHING_HALF_WIDTH, 0.0)
    half_span = np.abs(contents[0] - contents[-1]) / 2.0
    read = _degrees(at.temperature_measured, TEMPERATURE_GUESSED)
    water = np.where(runs.apart, _degrees(at.water_temperature_measured, FILLED_GUESSED), 0.0)
    fuel = np.where(runs.apart, _degrees(at.fuel_temperature_measured, FILLED_GUESSED), 0.0)
    # Without a temperature for the filling, it is the tube's, with the same uncertainty.
    by_reading = slopes.temperature + np.where(runs.apart, 0.0, slopes.water_temperature + slopes.fuel_temperature)
    rows: dict[str, tuple[Real, Real, Real]] = {
        "water_fill": (half_step / sqrt(3.0), by_water_mark, RECTANGULAR),
        "fuel_fill": (half_step / sqrt(3.0), slopes.fuel, RECTANGULAR),
        "line": (runs.half_width / sqrt(6.0), slopes.line, TRIANGULAR),
        "marks": (tolerance / sqrt(3.0), marks, marks_kurtosis),
        "calibration": (weighing / sqrt(3.0), slopes.line + slopes.water, RECTANGULAR),
        "fuel_water": (FUEL_WATER_HALF_WIDTH / sqrt(3.0), slopes.fuel_water, RECTANGULAR),
        "temperature": (read, by_reading, GAUSSIAN),
        "water_temperature": (water, _per_degree_of_water(runs, slopes, water), GAUSSIAN),
        "fuel_temperature": (fuel, slopes.fuel_temperature, GAUSSIAN),
        "exchange": (exchange, 1.0, GAUSSIAN),
        "tube_offset": (tube.offset_uncertainty / NORMAL, 1.0, GAUSSIAN),
        "scale_kind": ((tube.scale == "unknown") * 1.0, half_span, TWO_POINTS),
    }
    names = tuple(name for name in SCOPES if np.count_nonzero(rows[name][0]) and (only is None or name in only))
    uncertainty, sensitivity, kurtosis = np.empty((3, len(names), len(runs.test)))
    for index, name in enumerate(names):
        uncertainty[index], sensitivity[index], kurtosis[index] = rows[name]
    scopes = tuple(SCOPES[name] for name in names)
    return Components(names, scopes, uncertainty, sensitivity * uncertainty, kurtosis)


def averaged(runs: Runs, parts: Components) -> Components:
    """Return the components of each test's mean, combined according to scope.

    What all runs share keeps its size and sign; what is independent in every run shrinks with the root of their number;
    what one tube's runs share adds up within the tube, and independently between tubes.
    """
    effect, kurtosis = np.empty((2, len(parts.names), len(runs.count)))
    tubes = np.bincount(runs.tube_test[np.unique(runs.tube)], minlength=len(runs.count)).astype(np.float64)
    for index, scope in enumerate(parts.scopes):
        one = parts.effect[index]
        if scope == "all":
            effect[index] = runs.mean(one)
        elif scope == "run":
            effect[index] = np.sqrt(runs.mean(one**2) / runs.count)
        elif len(runs.tubes.scale) == len(runs.count):
            effect[index] = np.abs(runs.mean(one))
        else:
            of_tube = np.bincount(runs.tube, weights=one, minlength=len(runs.tube_test))
            squares = np.bincount(runs.tube_test, weights=of_tube**2, minlength=len(runs.count))
            effect[index] = np.sqrt(squares) / runs.count
        parts_of_it: dict[Scope, Real] = {"all": 1.0, "tube": tubes, "run": runs.count}
        kurtosis[index] = runs.mean(parts.kurtosis[index]) / parts_of_it[scope]
    largest = np.maximum.reduceat(parts.uncertainty, runs.first, axis=1)
    return Components(parts.names, parts.scopes, largest, effect, kurtosis)


def slopes_of(runs: Runs, read: Array, damping: Array) -> Sensitivities:
    """Return the sensitivities of the contents of runs, %, to their inputs.

    read: the contents as read from the lines. damping: slope of the content against that, from the exchange between the
    layers.
    """
    temperatures, tube = runs.temperatures, runs.in_tube
    found = sensitivities(read, runs.water, runs.fuel, temperatures, runs.at.fuel_water)
    found = Sensitivities._make(damping * slope for slope in found)
    if not tube.brine.any():
        return found
    per_line, nothing = 100.0 / runs.fuel, np.zeros_like(read)
    of_brine = Sensitivities(per_line, -per_line, -(read - 1.0) / runs.fuel, *[nothing] * 4)
    return Sensitivities._make(np.where(tube.brine, *pair) for pair in zip(of_brine, found, strict=True))


def top_difference_uncertainty(runs: Runs, content: Array, slopes: Sensitivities) -> Array:
    """Return the standard uncertainty, %, of the difference between the contents from the line and from the fuel's top.

    Exchange between the layers shifts both alike, so it is left out.
    """
    above = 1.0 - (content + runs.at.fuel_water) / 100.0
    half_step = runs.half_step
    by_fuel = slopes.fuel - 100.0 * above / runs.fuel
    effects = (
        half_step / sqrt(3.0) * (slopes.water - by_fuel),
        half_step / sqrt(3.0) * by_fuel,
        runs.half_width / sqrt(6.0) * (slopes.line - 100.0 / runs.fuel),
        half_step / sqrt(6.0) * 100.0 / runs.fuel,
        FUEL_WATER_HALF_WIDTH / sqrt(3.0) * (slopes.fuel_water + 1.0),
    )
    return np.sqrt(sum(effect * effect for effect in effects))


def _per_degree_of_water(runs: Runs, slopes: Sensitivities, degrees: Array) -> Array:
    """Sensitivity of the content to the filled water's temperature, which is uncertain by some degrees, % per degree.

    Water's expansion curve is flat at 4 degrees, so the slope alone understates the effect of a guess (JCGM 100,
    5.1.2). This is the root mean square over a normal distribution, by three points (Gauss and Hermite).
    """
    if not degrees.any():
        return degrees
    at = runs.temperatures.water
    one, far = density(np.zeros_like(runs.water), at), sqrt(3.0) * degrees
    changes = [slopes.water * runs.water * (density(0.0 * far, at + side * far) / one - 1.0) for side in (1.0, -1.0)]
    effect = np.sqrt((changes[0] ** 2 + changes[1] ** 2) / 6.0)
    per_degree = effect / np.where(degrees > 0.0, degrees, 1.0)
    return np.where(runs.in_tube.brine, 0.0, np.copysign(per_degree, slopes.water_temperature))


def _degrees(measured: Array, guessed: float) -> Array:
    return np.where(measured > 0.0, TEMPERATURE_MEASURED, guessed)


def _three_marks(*slopes: Array) -> tuple[Array, Array]:
    """The sensitivity to three independent marks of the same tolerance, and the excess kurtosis of their sum."""
    squares = np.stack(slopes) ** 2
    variance = squares.sum(axis=0)
    return np.sqrt(variance), RECTANGULAR * (squares**2).sum(axis=0) / variance**2
