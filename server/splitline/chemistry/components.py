"""What makes a run uncertain: each component with its standard uncertainty, shape and sensitivity (JCGM 100)."""

from collections.abc import Collection
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.coverage import GAUSSIAN, NORMAL, RECTANGULAR, TRIANGULAR
from splitline.chemistry.extraction import Sensitivities, sensitivities
from splitline.chemistry.polynomial import Array, Real
from splitline.chemistry.runs import Runs

# Half-widths in the unit of the input. Fuel water: the specifications allow up to about 1 %.
FUEL_WATER_HALF_WIDTH = 0.5
# Ethanol left above and hydrocarbons dissolved below, in % of content. From memory: no published bound was found.
EXTRACTION_HALF_WIDTH = 0.5
# Standard uncertainties of the temperature in degrees.
TEMPERATURE_GUESSED = 2.0
TEMPERATURE_MEASURED = 0.5


@dataclass(frozen=True, slots=True)
class Components:
    """Sources of uncertainty, a row each; the other axis is that of runs or of tests.

    shared: the same in all runs in this tube, so that repeating does not shrink it; a column. uncertainty: standard, in
    the input's unit. effect: what it changes in the content, %, with its sign. kurtosis: excess, of its shape.
    """

    names: tuple[str, ...]
    shared: NDArray[np.bool_]
    uncertainty: Array
    effect: Array
    kurtosis: Array

    def variance(self, shared: bool) -> Array:
        """The squared standard uncertainty of the content, %, from the shared ones, or from the others."""
        squares: Array = np.where(self.shared == shared, self.effect**2, 0.0).sum(axis=0)
        return squares


def components(runs: Runs, contents: Array, slopes: Sensitivities, only: Collection[str] | None) -> Components:
    """Return the components of runs, in a fixed order; only those named in `only` unless it is None.

    contents: %, a row for each kind of scale that is possible. Fills: rectangular, half a step. Line: triangular, half
    a step, or the half-width seen in a photo. Marks: rectangular, the tube's limit of error at each of the three
    volumes, none after calibration. Scale kind: from one kind to the other, where it is unknown.
    """
    at, half_step = runs.at, runs.half_step
    marks, marks_kurtosis = _three_marks(slopes)
    tolerance = np.where(at.calibrated, 0.0, np.nan_to_num(at.tolerance))
    degrees = np.where(at.measured, TEMPERATURE_MEASURED, TEMPERATURE_GUESSED)
    half_span = np.abs(contents[0] - contents[-1]) / 2.0
    rows: list[tuple[str, bool, Real, Real, Real]] = [
        ("water_fill", False, half_step / sqrt(3.0), slopes.water, RECTANGULAR),
        ("fuel_fill", False, half_step / sqrt(3.0), slopes.fuel, RECTANGULAR),
        ("line", False, runs.half_width / sqrt(6.0), slopes.line, TRIANGULAR),
        ("marks", True, tolerance / sqrt(3.0), marks, marks_kurtosis),
        ("fuel_water", True, FUEL_WATER_HALF_WIDTH / sqrt(3.0), slopes.fuel_water, RECTANGULAR),
        ("temperature", True, degrees, slopes.temperature, GAUSSIAN),
        ("extraction", True, EXTRACTION_HALF_WIDTH / sqrt(3.0), 1.0, RECTANGULAR),
        ("tube_offset", True, at.offset_uncertainty / NORMAL, 1.0, GAUSSIAN),
        ("scale_kind", True, (at.scale == "unknown") / sqrt(3.0), half_span, RECTANGULAR),
    ]
    rows = [row for row in rows if np.count_nonzero(row[2]) and (only is None or row[0] in only)]
    uncertainty, sensitivity, kurtosis = np.empty((3, len(rows), len(runs.test)))
    for index, row in enumerate(rows):
        uncertainty[index], sensitivity[index], kurtosis[index] = row[2:]
    shared = np.array([row[1] for row in rows], dtype=bool)[:, None]
    return Components(tuple(row[0] for row in rows), shared, uncertainty, sensitivity * uncertainty, kurtosis)


def averaged(runs: Runs, parts: Components) -> Components:
    """Return the components of each test's mean: a shared one keeps its size, an own one shrinks with the root of n."""
    mean = runs.mean(np.where(parts.shared, parts.effect, parts.effect**2))
    # A shared one may be negative; its root is not used.
    effect = np.where(parts.shared, mean, np.sqrt(np.abs(mean) / runs.count))
    return Components(parts.names, parts.shared, parts.uncertainty[:, runs.first], effect, runs.mean(parts.kurtosis))


def slopes_of(runs: Runs, content: Array) -> Sensitivities:
    """Return how the contents of runs, %, follow their inputs."""
    found = sensitivities(content, runs.water, runs.fuel, runs.at.temperature, runs.at.fuel_water)
    if not runs.at.brine.any():
        return found
    per_line, nothing = 100.0 / runs.fuel, np.zeros_like(content)
    of_brine = Sensitivities(per_line, -per_line, -(content - 1.0) / runs.fuel, nothing, nothing)
    return Sensitivities._make(np.where(runs.at.brine, *pair) for pair in zip(of_brine, found, strict=True))


def top_difference_uncertainty(runs: Runs, content: Array, slopes: Sensitivities) -> Array:
    """Return the standard uncertainty, %, of the difference between the contents by the line and by the fuel's top."""
    above = 1.0 - (content + runs.at.fuel_water) / 100.0
    half_step = runs.half_step
    effects = (
        half_step / sqrt(3.0) * slopes.water,
        half_step / sqrt(3.0) * (slopes.fuel - 100.0 * above / runs.fuel),
        runs.half_width / sqrt(6.0) * (slopes.line - 100.0 / runs.fuel),
        half_step / sqrt(6.0) * 100.0 / runs.fuel,
        FUEL_WATER_HALF_WIDTH / sqrt(3.0) * (slopes.fuel_water + 1.0),
        EXTRACTION_HALF_WIDTH / sqrt(3.0),
    )
    return np.sqrt(sum(effect * effect for effect in effects))


def _three_marks(slopes: Sensitivities) -> tuple[Array, Array]:
    """The sensitivity to three independent marks of the same tolerance, and the excess kurtosis of their sum."""
    squares = np.stack([slopes.line**2, slopes.water**2, slopes.fuel**2])
    variance = squares.sum(axis=0)
    return np.sqrt(variance), RECTANGULAR * (squares**2).sum(axis=0) / variance**2
