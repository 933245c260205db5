"""Where the parting line is, from marks on a picture: the tube's axis as a projective line.

A camera preserves the cross-ratios of points on a straight line, whatever its position, angle and lens (as long as the
lens keeps straight lines straight). Three marks of known volume therefore fix the volume of every other point of the
axis. Valid for a bore of constant width between the marks, with marks and line on the near side of the tube.

Positions are picture pixels, x to the right and y down; volumes mL.
"""

from dataclasses import dataclass
from math import hypot

from splitline.errors import Problem, Unusable

# Marks closer together than this, in pixels, fix nothing.
NEAREST = 8.0
# A mark further from the axis than this share of the axis' length is misplaced.
FARTHEST_OFF = 0.1
# If a millilitre looks this many times as large at one end as at the other, a mark is misplaced (a camera one tube
# length away and tilted by 35 degrees gives 6).
STEEPEST = 10.0


@dataclass(frozen=True, slots=True)
class Place:
    """A point in the picture, in pixels."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Marks:
    """What a person marked: bottom reference mark, water mark, fuel mark and parting line."""

    bottom: Place
    water: Place
    fuel: Place
    line: Place


def line_of_marks(marks: Marks, bottom_volume: float, water_volume: float, fuel_volume: float) -> float:
    """Return the volume in mL at the parting line.

    bottom_volume, water_volume, fuel_volume: volumes at the three known marks, mL, rising (fuel_volume is water plus
    fuel). Raises Unusable when the marks fix no volume, and when the line is not between them.
    """
    found = [*_known(marks, bottom_volume, water_volume, fuel_volume), *_line(marks)]
    if found:
        raise Unusable(found)
    water, fuel = _along(marks, marks.water), _along(marks, marks.fuel)
    return _carried(_along(marks, marks.line), water, fuel, bottom_volume, water_volume, fuel_volume)


def _carried(at: float, middle: float, far: float, low: float, mid: float, high: float) -> float:
    """Return the image of `at` under the projective map of 0, middle, far to low, mid, high: equal cross-ratios."""
    above = at * (far - middle) * (mid - low)
    below = (far - at) * middle * (high - mid)
    return (low * below + high * above) / (above + below)


def _along(marks: Marks, place: Place) -> float:
    """Return the distance of a point from the bottom mark, along the axis, in pixels."""
    x, y = marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y
    return ((place.x - marks.bottom.x) * x + (place.y - marks.bottom.y) * y) / hypot(x, y)


def _off(marks: Marks, place: Place) -> float:
    """Return the distance of a point from the axis as a share of the axis' length."""
    x, y = marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y
    return abs((place.x - marks.bottom.x) * y - (place.y - marks.bottom.y) * x) / (x * x + y * y)


def _known(marks: Marks, bottom_volume: float, water_volume: float, fuel_volume: float) -> list[Problem]:
    """Return what is wrong with the three known marks and their volumes."""
    if not 0.0 <= bottom_volume < water_volume < fuel_volume:
        given = f"{bottom_volume:g}, {water_volume:g}, {fuel_volume:g}"
        return [Problem("mark_volumes", "marks", given, "rising")]
    found = _placed(marks)
    if found:
        return found
    length, water = _along(marks, marks.fuel), _along(marks, marks.water)
    # How much larger a millilitre looks at the bottom than at the fuel mark: the ratio of the map's slopes.
    low, high = water_volume - bottom_volume, fuel_volume - water_volume
    ratio = (water * high / ((length - water) * low)) ** 2
    if not 1.0 / STEEPEST <= ratio <= STEEPEST:
        return [Problem("marks_perspective", "marks.water", f"{ratio:g}", f"{1.0 / STEEPEST:g}..{STEEPEST:g}")]
    return []


def _placed(marks: Marks) -> list[Problem]:
    """Return what is wrong with the positions of the three known marks."""
    length = hypot(marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y)
    if not length >= 2.0 * NEAREST:
        return [Problem("marks_close", "marks.fuel", f"{length:g}", f">= {2.0 * NEAREST:g}")]
    water = _along(marks, marks.water)
    if not 0.0 < water < length:
        return [Problem("marks_order", "marks.water", f"{water:g}", f"0..{length:g}")]
    if not NEAREST <= water <= length - NEAREST:
        return [Problem("marks_close", "marks.water", f"{min(water, length - water):g}", f">= {NEAREST:g}")]
    off = _off(marks, marks.water)
    if not off <= FARTHEST_OFF:
        return [Problem("mark_off_axis", "marks.water", f"{off:g}", f"<= {FARTHEST_OFF:g}")]
    return []


def _line(marks: Marks) -> list[Problem]:
    """Return what is wrong with the line's mark, given sound known marks."""
    length, line = _along(marks, marks.fuel), _along(marks, marks.line)
    if not 0.0 <= line <= length:
        return [Problem("line_off_marks", "marks.line", f"{line:g}", f"0..{length:g}")]
    off = _off(marks, marks.line)
    if not off <= FARTHEST_OFF:
        return [Problem("mark_off_axis", "marks.line", f"{off:g}", f"<= {FARTHEST_OFF:g}")]
    return []
