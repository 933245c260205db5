"""The line from a picture: colours along the tube's axis, and what they suggest."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.axis import Marks, Place, check_marks
from splitline.chemistry.edge import BELOW, PER_COLUMN, SAMPLES, Profile, find_line

Array = NDArray[np.float64]

# Across the tube, in shares of the way from the water mark to the fuel mark: lines 0.6 % apart; five make a strip.
# Seven strips reach a little beyond the narrowest usual bore; the background is read well beside the widest.
APART = 0.006
STRIP = range(-2, 3)
INSIDE = range(-15, 16, 5)
BESIDE = (range(-60, -50, 3), range(51, 61, 3))


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Where the program sees the parting line: the place, and the half-width of the border in pixels along the axis."""

    place: Place
    half_width: float


def suggest_line(pixels: Sequence[int], width: int, height: int, marks: Marks) -> Suggestion | None:
    """Return the parting line in a picture, or None when there is no clear one; `marks.line` plays no part.

    pixels: red, green, blue, opacity from 0 to 255, row by row. Raises Unusable when the known marks lie too close.
    """
    edge = find_line(axis_profile(pixels, width, height, marks))
    if edge is None:
        return None
    x, y = marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y
    place = Place(marks.water.x + edge.share * x, marks.water.y + edge.share * y)
    return Suggestion(place, edge.half_width * hypot(x, y))


def axis_profile(pixels: Sequence[int], width: int, height: int, marks: Marks) -> Profile:
    """Return the colours along the way from the water mark to the fuel mark; see `suggest_line`."""
    check_marks(marks)
    picture = np.asarray(pixels, dtype=float).reshape(height, width, 4)[:, :, :3]
    inside = [[strip + line for line in STRIP] for strip in INSIDE]
    return Profile(*([_strip(picture, marks, lines) for lines in group] for group in (inside, BESIDE)))


def _strip(picture: Array, marks: Marks, lines: Sequence[int]) -> list[list[float]]:
    """Return the median colours of lines that run beside the axis, `lines` counted in steps of APART."""
    colours = [_colours(_line(picture, marks, line * APART)) for line in lines]
    middle: list[list[float]] = np.median(colours, axis=0).tolist()
    return middle


def _line(picture: Array, marks: Marks, aside: float) -> Array:
    """Return red, green and blue along a line beside the axis, between pixels in proportion."""
    x, y = marks.fuel.x - marks.water.x, marks.fuel.y - marks.water.y
    share = (np.arange(SAMPLES) - BELOW) / PER_COLUMN
    rows, columns = picture.shape[:2]
    # A pixel's colour is that of its middle; beyond its border the picture goes on as it ends.
    u = np.clip(marks.water.x + share * x - aside * y - 0.5, 0.0, columns - 1.0)
    v = np.clip(marks.water.y + share * y + aside * x - 0.5, 0.0, rows - 1.0)
    left, upper = np.minimum(np.floor(u), columns - 2).astype(int), np.minimum(np.floor(v), rows - 2).astype(int)
    a, b = (u - left)[:, None], (v - upper)[:, None]
    above = (1.0 - a) * picture[upper, left] + a * picture[upper, left + 1]
    below = (1.0 - a) * picture[upper + 1, left] + a * picture[upper + 1, left + 1]
    mixed: Array = (1.0 - b) * above + b * below
    return mixed


def _colours(light: Array) -> Array:
    """Return luminance (ITU-R BT.601), blueness and redness; shade changes the first and hardly the other two."""
    luminance = 0.299 * light[:, 0] + 0.587 * light[:, 1] + 0.114 * light[:, 2]
    relative = 128.0 / (luminance + 16.0)
    return np.stack([luminance, (light[:, 2] - luminance) * relative, (light[:, 0] - luminance) * relative], axis=1)
