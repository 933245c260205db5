"""How far a contributor's tube reads too high or too low, from sources that several tubes have tested.

Each visit is its source's level plus its tube's offset plus scatter. Levels and offsets are estimated in turn; offsets
are shrunk to zero where data are few. An offset is shown to its contributor and widens their uncertainty; it never
corrects a reading.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import median

ROUNDS = 20
# Standard deviation of the offsets of good tubes, and of the prior of an offset, %: from memory.
USUAL = 1.0
POSSIBLE = 2.5
# Standard deviations of offsets that `spread_of` considers, over the usual one: from a twentieth to twenty times.
SPREADS = np.exp(np.linspace(-3.0, 3.0, 61))
# Number of tubes it looks at: 300 tell the standard deviation to 4 %.
ENOUGH = 300
# The stated uncertainty of readings counts as this many squares: from memory.
AS_STATED = 4.0

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Reading:
    """One visit without its season: % (V/V); uncertainty: standard, of the part that is independent between visits.
    counts: whether it is used for the level of its source, against which offsets are measured.
    """

    source: str
    tube: str
    deviation: float
    uncertainty: float
    counts: bool = True


@dataclass(frozen=True, slots=True)
class TubeOffset:
    """How far a tube reads too high (positive) or too low, %, its standard uncertainty, and the number of sources."""

    offset: float
    uncertainty: float
    sources: int


@dataclass(frozen=True, slots=True)
class _Meeting:
    """The readings with one tube at one source where other tubes were: their mean, the variance of its distance to the
    source's level, and whether they count for that level.
    """

    source: str
    tube: str
    mean: float
    variance: float
    counts: bool


def offsets_of(readings: Sequence[Reading]) -> dict[str, TubeOffset]:
    """Return the offsets of the tubes that share a source with another tube."""
    at_source, of_tube = defaultdict(list), defaultdict(list)
    for meeting in _meetings(readings):
        at_source[meeting.source].append(meeting)
        of_tube[meeting.tube].append(meeting)
    offsets = dict.fromkeys(sorted(of_tube), 0.0)
    for _ in range(ROUNDS):
        levels = {source: _level(met, offsets) for source, met in at_source.items()}
        offsets = {tube: _offset(of_tube[tube], levels)[0] for tube in offsets}
    levels = {source: _level(met, offsets) for source, met in at_source.items()}
    return {tube: TubeOffset(*_offset(of_tube[tube], levels), len(of_tube[tube])) for tube in offsets}


def _meetings(readings: Sequence[Reading]) -> Iterator[_Meeting]:
    by_source: defaultdict[str, defaultdict[str, list[Reading]]] = defaultdict(lambda: defaultdict(list))
    for reading in readings:
        by_source[reading.source][reading.tube].append(reading)
    for source, tubes in by_source.items():
        for tube, group in tubes.items() if len(tubes) > 1 else ():
            mean = sum(reading.deviation for reading in group) / len(group)
            # The level is itself uncertain: it comes from the other tubes at the source.
            level = USUAL**2 / (len(tubes) - 1)
            variance = sum(reading.uncertainty**2 for reading in group) / len(group) ** 2 + level
            yield _Meeting(source, tube, mean, variance, group[0].counts)


def _level(met: Sequence[_Meeting], offsets: Mapping[str, float]) -> float:
    """A source's level: the median of its tubes' means, so that no single tube decides."""
    counted = [one for one in met if one.counts] or met
    return median([one.mean - offsets[one.tube] for one in counted])


def _offset(met: Sequence[_Meeting], levels: Mapping[str, float]) -> tuple[float, float]:
    """A tube's offset and its standard uncertainty: a weighted mean of its distances to the levels, with the prior
    N(0, `POSSIBLE`^2).
    """
    weights, total = 1.0 / POSSIBLE**2, 0.0
    for one in met:
        weights += 1.0 / one.variance
        total += (one.mean - levels[one.source]) / one.variance
    return total / weights, sqrt(1.0 / weights)


def spread_of(readings: Sequence[Reading], usual: float) -> float:
    """Return the standard deviation of the tubes' offsets, %: the usual one unless the readings say otherwise.

    Offsets are normal, and the sources' levels are integrated out (REML, see `season`). The prior is half-Cauchy with
    scale `usual`, as a density in the logarithm; the result is the posterior mean of that logarithm.
    """
    known, pull = _contrasts(readings)
    # In the directions of the eigenvectors the offsets are independent.
    precision, directions = np.linalg.eigh(known)
    gain = (usual * SPREADS[:, None]) ** 2
    grown = 1.0 + gain * precision.clip(0.0)
    told = 0.5 * ((directions.T @ pull) ** 2 * gain / grown - np.log(grown)).sum(axis=1)
    log_posterior = told + np.log(SPREADS) - np.log1p(SPREADS**2)
    share = np.exp(log_posterior - log_posterior.max())
    return float(usual * np.exp(share @ np.log(SPREADS) / share.sum()))


def _contrasts(readings: Sequence[Reading]) -> tuple[Array, Array]:
    """The readings' information on the offsets: its matrix, and its product with their estimates.

    The scatter of sources includes some of the offsets; readings with one tube at one source show by how much.
    """
    frequent = Counter(reading.tube for reading in readings).most_common(ENOUGH)
    tubes = {tube: number for number, (tube, _) in enumerate(frequent)}
    by_source: defaultdict[str, list[Reading]] = defaultdict(list)
    for reading in readings:
        if reading.tube in tubes:
            by_source[reading.source].append(reading)
    known, pull = np.zeros((len(tubes), len(tubes))), np.zeros(len(tubes))
    square = expected = AS_STATED
    for group in by_source.values():
        place, weight = [tubes[reading.tube] for reading in group], np.array([r.uncertainty**-2.0 for r in group])
        off = np.array([reading.deviation for reading in group])
        off -= weight @ off / weight.sum()
        total, sums = np.bincount(place, weight, len(tubes)), np.bincount(place, weight * off, len(tubes))
        known += np.diag(total) - np.outer(total, total) / total.sum()
        pull += sums
        there = total > 0.0
        square += float(weight @ off**2 - (sums[there] ** 2 / total[there]).sum())
        expected += len(group) - int(there.sum())
    return known * expected / square, pull * expected / square
