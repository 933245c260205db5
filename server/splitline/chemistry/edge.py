"""Where the layers part, as a suggestion: the strongest step in colour along the tube, or that there is no clear one.

A step is the difference between the medians of two stretches a little below and above a place, so thin printed
graduations do not count; it has to be seen in several strips side by side, so glare and numbers do not count; what
steps beside the tube as well is the background and does not count. All limits below were set on rendered pictures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Array = NDArray[np.float64]
Strip = Sequence[Sequence[float]]

# A profile has 400 samples from the water mark to the fuel mark and begins 20 samples below the water mark.
PER_COLUMN = 400
BELOW = 20
SAMPLES = BELOW + PER_COLUMN + 1
# The line is looked for from 3 % to 90 % of the fuel column: at the water mark there is a mark and no clear water below
# it, and near the fuel mark the fuel's own surface stands, which the shrinkage has lowered to 92 % at most.
LOWEST, HIGHEST = 32, 380
RIVAL_HIGHEST = 370
# Print is up to 14 samples thick; a step is measured over 12 samples on each side, 3 samples away from the place.
CALM = 14
STRETCH, GAP = 12, 3
# What the background does counts within this many samples: through the tube it is seen a little higher or lower.
BEHIND = 14
# The least spread, in levels of 255, that a colour is credited with.
FAINT = 0.7
# A strip sees the line when its step has at least this share of the strongest strip's.
SEEN = 0.4
# A step counts as seen in common when all but this share of the strips have it.
COMMON = 0.3
# Gradient: samples of the Gaussian, and of the running median before it.
SMOOTHING, LIGHT = 2.5, 4
HALF_OF_GAUSSIAN = 1.1774100225154747
# No clear line: a step below 4 times the spread, a border wider than 4.5 % of the column, a second step at least 6 %
# away that has 6 levels and 2.5 times the spread (a band of milk has two), or a step that goes on where even layers
# would begin: 18 samples wide, 15 samples away, it is then not what it is close by (a slow change, a thin band).
LEAST_STRENGTH = 4.0
WIDEST = 0.045
APART = 24
RIVAL_LEVELS, RIVAL_STRENGTH = 6.0, 2.5
AWAY, BROAD = 15, 18
GROWS = (0.7, 1.3)


@dataclass(frozen=True, slots=True)
class Profile:
    """Colours along the tube's axis, SAMPLES of them from below the water mark to the fuel mark.

    inside: strips side by side within the bore; beside: one strip on each side of the tube. A colour is luminance,
    blueness and redness (levels of 255, the last two relative to the luminance).
    """

    inside: Sequence[Strip]
    beside: Sequence[Strip]


@dataclass(frozen=True, slots=True)
class Edge:
    """Where the layers part, and within which half-width: shares of the way from the water mark to the fuel mark."""

    share: float
    half_width: float


def find_line(profile: Profile) -> Edge | None:
    """Return the parting line, or None when there is no clear one.

    The place is the lower end of the border, where the layers part at the near wall when the line is seen from its own
    height or from a little above.
    """
    strips = np.array(profile.inside, dtype=float)
    steps = np.array([_steps(strip) for strip in strips])
    spread = 1.4826 * np.median(np.abs(steps), axis=1) + FAINT
    sizes = np.sqrt(np.sum(steps**2, axis=2))
    strengths = np.sqrt(np.sum((steps / spread[:, None, :]) ** 2, axis=2))
    behind = _behind(profile.beside)
    own = strengths * np.maximum(0.0, 1.0 - behind / np.maximum(sizes, 1e-9))
    at = int(np.argmax(np.sum(np.sqrt(own), axis=0)))
    near = own[:, max(0, at - 3) : at + 4].max(axis=1)
    seen = np.flatnonzero(near > SEEN * near.max())
    if len(seen) == 0 or not _stands_out(sizes[seen], strengths[seen], behind, at):
        return None
    step, noise = steps[seen, at].mean(axis=0), spread[seen].mean(axis=0)
    weights = step / noise**2
    if not GROWS[0] < _far_step(strips[seen], weights, at + LOWEST) / (float(step @ weights) + 1e-12) < GROWS[1]:
        return None
    edge = _border(strips[seen], weights, at + LOWEST)
    return edge if edge.half_width <= WIDEST / 2.0 else None


def _steps(strip: Array) -> Array:
    """Return the step at every place where a line is looked for, in each of the three colours."""
    middles: Array = np.median(sliding_window_view(_running_median(strip, CALM), STRETCH, axis=0), axis=-1)
    return middles[LOWEST + GAP : HIGHEST + GAP] - middles[LOWEST - GAP - STRETCH + 1 : HIGHEST - GAP - STRETCH + 1]


def _running_median(strip: Array, half: int) -> Array:
    """Return the median over `half` samples on each side; beyond its ends a strip goes on as it ends."""
    longer = np.concatenate([np.repeat(strip[:1], half, axis=0), strip, np.repeat(strip[-1:], half, axis=0)])
    calm: Array = np.median(sliding_window_view(longer, 2 * half + 1, axis=0), axis=-1)
    return calm


def _behind(beside: Sequence[Strip]) -> Array:
    """Return the size of the steps near every place that both sides of the tube show."""
    sides = []
    for strip in beside:
        size = np.sqrt(np.sum(_steps(np.array(strip, dtype=float)) ** 2, axis=1))
        longer = np.concatenate([np.repeat(size[:1], BEHIND), size, np.repeat(size[-1:], BEHIND)])
        sides.append(sliding_window_view(longer, 2 * BEHIND + 1).max(axis=-1))
    common: Array = np.min(sides, axis=0)
    return common


def _stands_out(sizes: Array, strengths: Array, behind: Array, at: int) -> bool:
    """Return whether, in what the strips have in common, the step at `at` is strong enough and has no rival."""
    rank = int(COMMON * (len(sizes) - 1))
    strength, size = np.sort(strengths, axis=0)[rank], np.sort(sizes, axis=0)[rank]
    if strength[max(0, at - 4) : at + 5].max() < LEAST_STRENGTH:
        return False
    rest = np.maximum(0.0, size - behind)
    rest_strength = rest * strength / np.maximum(size, 1e-9)
    places = np.arange(len(size))
    away = (np.abs(places - at) >= APART) & (places < RIVAL_HIGHEST - LOWEST)
    return not bool(np.any(away & (rest >= RIVAL_LEVELS) & (rest_strength >= RIVAL_STRENGTH)))


def _far_step(strips: Array, weights: Array, at: int) -> float:
    """Return the step between stretches farther away from sample `at`, in the weighed colours."""
    calm = np.mean([_running_median(strip, CALM) for strip in strips], axis=0) @ weights
    above, below = calm[at + AWAY : at + AWAY + BROAD], calm[max(0, at - AWAY - BROAD + 1) : at - AWAY + 1]
    return float(np.median(above) - np.median(below))


def _border(strips: Array, weights: Array, at: int) -> Edge:
    """Return the border near sample `at` from the gradient of the colours, weighed by how well they tell the layers."""
    calm = np.mean([_running_median(strip, LIGHT) for strip in strips], axis=0)
    gradient = _gradient(calm @ (weights / (np.sqrt(np.sum(weights**2)) + 1e-12)))
    low, high = at - STRETCH - GAP, min(HIGHEST, at + STRETCH + GAP)
    peak = low + int(np.argmax(gradient[low:high]))
    half = gradient[peak] / 2.0
    first, last = peak, peak
    while first > 0 and gradient[first] > half:
        first -= 1
    while last < SAMPLES - 1 and gradient[last] > half:
        last += 1
    lower = first + _crossing(gradient[first], gradient[first + 1], half)
    upper = last - _crossing(gradient[last], gradient[last - 1], half)
    middle, near_wall = 0.5 * (lower + upper), lower + HALF_OF_GAUSSIAN * SMOOTHING
    place = 0.25 * middle + 0.75 * near_wall
    return Edge((place - BELOW) / PER_COLUMN, 0.5 * (upper - lower) / PER_COLUMN)


def _crossing(low: float, high: float, half: float) -> float:
    """Return where between two samples the half level lies, 0 at the low one; 0 when it lies beyond the strip."""
    return float((half - low) / (high - low)) if high > half >= low else 0.0


def _gradient(values: Array) -> Array:
    """Return the slope of values smoothed by a Gaussian: a weighted line through each sample's neighbours."""
    reach = int(4 * SMOOTHING)
    offsets = range(-reach, reach + 1)
    kernel = [offset * exp(-0.5 * (offset / SMOOTHING) ** 2) for offset in offsets]
    norm = sum(weight * offset for weight, offset in zip(kernel, offsets, strict=True))
    longer = np.concatenate([np.repeat(values[:1], reach), values, np.repeat(values[-1:], reach)])
    slope: Array = np.sum([w * longer[i : i + len(values)] for i, w in enumerate(kernel)], axis=0) / norm
    return slope
