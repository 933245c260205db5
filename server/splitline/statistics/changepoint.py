"""When a source changed: a cumulative sum of its deviations, started again after each change.

Tabular Cusum with reference value 0.5 and decision interval 5 standard deviations (NIST/SEMATECH e-Handbook,
section 6.3.2.3), self-starting: each value is compared with the median of those since the last change. What that finds
is told only where the levels before and after differ clearly.
"""

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from typing import Literal

from splitline.statistics.robust import mad_spread, median

REFERENCE = 0.5
DECISION = 5.0
# One value alone, however wrong, counts no more than this many standard deviations.
LARGEST = 2.5
# The variance of a median against that of a mean, for many normal values: pi / 2.
MEDIAN_VARIANCE = 1.5707963267948966
# The level before a change rests on this many visits at least.
LEAST_BEFORE = 5
# The levels before and after a change differ by this many standard errors of their difference at least.
CLEAR = 3.0


@dataclass(frozen=True, slots=True)
class Change:
    """From `index` on the values lie at another level."""

    index: int
    direction: Literal["up", "down"]


def changes_of(values: Sequence[float], least_spread: float, least_step: float = 0.0) -> list[Change]:
    """Return the changes of level, oldest first.

    values: deviations in time order, %. least_spread: what measurement alone scatters, %, the least that is believed.
    least_step: between two levels, %; less is not worth telling.
    """
    found = _alarms(values, least_spread)
    while found:
        ends = [0, *(change.index for change in found), len(values)]
        levels = [values[start:end] for start, end in pairwise(ends)]
        clearness = _clearness(levels, least_spread, least_step)
        weakest = min(range(len(found)), key=clearness.__getitem__)
        if clearness[weakest] >= 1.0:
            break
        del found[weakest]
    return found


def _alarms(values: Sequence[float], least_spread: float) -> list[Change]:
    spread = max(mad_spread(values), least_spread) if values else least_spread
    found: list[Change] = []
    start = 0
    while True:
        change = _first_change(values, start, spread)
        if change is None:
            return found
        found.append(change)
        start = change.index


def _first_change(values: Sequence[float], start: int, spread: float) -> Change | None:
    """The first alarm after `start`; the change is where the sum that gave it began to grow."""
    up = down = 0.0
    up_from = down_from = start
    before = sorted(values[start : start + LEAST_BEFORE])
    for index in range(start + LEAST_BEFORE, len(values)):
        # The level itself is known no better than a median of so few.
        score = (values[index] - _middle(before)) / (spread * sqrt(1.0 + MEDIAN_VARIANCE / len(before)))
        insort(before, values[index])
        score = min(max(score, -LARGEST), LARGEST)
        up_from = index if up == 0.0 else up_from
        down_from = index if down == 0.0 else down_from
        up, down = max(0.0, up + score - REFERENCE), max(0.0, down - score - REFERENCE)
        if up > DECISION:
            return Change(up_from, "up")
        if down > DECISION:
            return Change(down_from, "down")
    return None


def _middle(ordered: Sequence[float]) -> float:
    """The median of values that are in order."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2.0


def _clearness(levels: Sequence[Sequence[float]], least_spread: float, least_step: float) -> list[float]:
    """The step from each level to the next, as a share of what it takes to be told."""
    middles = [median(level) for level in levels]
    left = [value - middle for level, middle in zip(levels, middles, strict=True) for value in level]
    variance = MEDIAN_VARIANCE * max(mad_spread(left), least_spread) ** 2
    shares = []
    for k, (before, after) in enumerate(pairwise(levels)):
        error = sqrt(variance / len(before) + variance / len(after))
        shares.append(abs(middles[k + 1] - middles[k]) / max(CLEAR * error, least_step))
    return shares
