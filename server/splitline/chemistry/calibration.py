"""Calibration of a tube: its marks' true volumes, the kind of its printed scale, its offset against a known sample."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np

from splitline.chemistry.density import density
from splitline.chemistry.extraction import line_of_content
from splitline.chemistry.measurement import CalibrationMark
from splitline.chemistry.polynomial import Array
from splitline.chemistry.scale import DRAWN_AT

# A kind of scale is chosen if the other fits at least this many times worse (root mean square) ...
DECISIVE = 2.0
# ... and its own fit is within this fraction of the distance between the water and the fuel mark.
FITS = 0.015


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """How well each kind of scale explains the heights of printed marks, as a fraction of the fuel column."""

    kind: Literal["linear", "corrected", "cannot_tell"]
    linear_misfit: float
    corrected_misfit: float


@dataclass(frozen=True, slots=True)
class Offset:
    """By how much a tube reads low (positive) or high, %, with its expanded uncertainty (95 %)."""

    offset: float
    expanded_uncertainty: float
    significant: bool


def volume_of_water(mass: float, temperature: float) -> float:
    """Return the volume in mL of a mass of water in g, weighed at a temperature in degrees Celsius.

    Mass over density, without the buoyancy of air (0.1 %, 0.05 mL of 50, below what a kitchen scale resolves).
    """
    return float(1000.0 * mass / density(0.0, temperature))


def true_volume(nominal: Array, marks: Sequence[CalibrationMark]) -> Array:
    """Return the true volume at a nominal one: interpolated linearly between the calibrated marks, constant outside."""
    ordered = sorted(marks, key=lambda mark: mark.nominal)
    nominals = [mark.nominal for mark in ordered]
    return nominal + np.interp(nominal, nominals, [mark.true - mark.nominal for mark in ordered])


def scale_check(
    heights: Sequence[tuple[float, float]], water_height: float, fuel_height: float, water: float, fuel: float
) -> ScaleCheck:
    """Return which kind of scale explains the heights of printed marks, by least squares.

    heights: (printed percent, height) of three or more marks between the water and the fuel mark, in mm or pixels,
    the same unit and origin as water_height and fuel_height. water, fuel: volumes at the marks, mL.
    """
    linear, corrected = [], []
    for percent, height in heights:
        found = (height - water_height) / (fuel_height - water_height)
        linear.append(found - percent / 100.0)
        corrected.append(found - (line_of_content(percent, water, fuel, DRAWN_AT, 0.0) - water) / fuel)
    linear_misfit, corrected_misfit = _rms(linear), _rms(corrected)
    better, worse = sorted((linear_misfit, corrected_misfit))
    if len(heights) < 3 or better > FITS or worse < DECISIVE * better or worse < FITS / 2.0:
        return ScaleCheck("cannot_tell", linear_misfit, corrected_misfit)
    kind: Literal["linear", "corrected"] = "linear" if linear_misfit < corrected_misfit else "corrected"
    return ScaleCheck(kind, linear_misfit, corrected_misfit)


def known_sample(
    content: float, expanded_uncertainty: float, known: float, known_expanded_uncertainty: float
) -> Offset:
    """Return the offset of a tube from runs on fuel of known content, all in %; positive: the tube reads low."""
    offset = known - content
    limit = sqrt(expanded_uncertainty**2 + known_expanded_uncertainty**2)
    return Offset(offset, limit, abs(offset) > limit)


def _rms(values: Sequence[float]) -> float:
    return sqrt(sum(value * value for value in values) / max(len(values), 1))
