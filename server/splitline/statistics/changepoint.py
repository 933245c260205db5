"""When a source changed: a cumulative sum (CUSUM) of its deviations, restarted after each change.

Tabular Cusum with reference value 0.5 and decision interval 5 standard deviations (NIST/SEMATECH e-Handbook,
section 6.3.2.3), self-starting: each value is compared with the median of those since the last change. An
alarm is reported only if the levels before and after differ clearly.
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
# Scores are clipped at this many standard deviations, so that a single outlier cannot raise an alarm.
LARGEST = 2.5
# Variance of the median over variance of the mean, for many normal values: pi / 2.
MEDIAN_VARIANCE = 1.5707963267948966
# Minimum number of visits before a change.
LEAST_BEFORE = 5
# The levels must differ by at least this many standard errors of their difference.
CLEAR = 3.0


@dataclass(frozen=True, slots=True)
class Change:
    """The level changes at `index`, the first value at the new level."""

    index: int
    direction: Literal["up", "down"]


def changes_of(values: Sequence[float], least_spread: float, least_step: float = 0.0) -> list[Change]:
    """Return the changes of level, oldest first.

    values: deviations in time order, %. least_spread: scatter of measurement alone, %, a lower bound for the spread.
    least_step: smallest difference of levels worth reporting, %.
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
    """The first alarm after `start`; the change is dated to where the sum behind it left zero."""
    up = down = 0.0
    up_from = down_from = start
    before = sorted(values[start : start + LEAST_BEFORE])
    for index in range(start + LEAST_BEFORE, len(values)):
        # The level is itself uncertain: it is the median of a few values.
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
    """The median of sorted values."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2.0


def _clearness(levels: Sequence[Sequence[float]], least_spread: float, least_step: float) -> list[float]:
    """The step from each level to the next, over the step that would be reported."""
    middles = [median(level) for level in levels]
    left = [value - middle for level, middle in zip(levels, middles, strict=True) for value in level]
    variance = MEDIAN_VARIANCE * max(mad_spread(left), least_spread) ** 2
    shares = []
    for k, (before, after) in enumerate(pairwise(levels)):
        error = sqrt(variance / len(before) + variance / len(after))
        shares.append(abs(middles[k + 1] - middles[k]) / max(CLEAR * error, least_step))
    return shares
