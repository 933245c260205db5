"""How far a contributor's tube reads too high or too low, from sources that several tubes have tested.

Each visit is its source's level plus its tube's offset plus scatter. Levels and offsets are estimated in turn; offsets
are shrunk to zero where data are few. An offset is shown to its contributor and widens their uncertainty; it never
corrects a reading.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from splitline.statistics.robust import median

ROUNDS = 20
# Standard deviation of the offsets of good tubes, and of the prior of an offset, %: from memory.
USUAL = 1.0
POSSIBLE = 2.5


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


def offsets_of(readings: Sequence[Reading]) -> dict[str, TubeOffset]:
    """Return the offsets of the tubes that share a source with another tube."""
    by_source: defaultdict[str, defaultdict[str, list[Reading]]] = defaultdict(lambda: defaultdict(list))
    for reading in readings:
        by_source[reading.source][reading.tube].append(reading)
    shared = {source: tubes for source, tubes in by_source.items() if len(tubes) > 1}
    met: defaultdict[str, dict[str, Mapping[str, Sequence[Reading]]]] = defaultdict(dict)
    for source, tubes in shared.items():
        for tube in tubes:
            met[tube][source] = tubes
    offsets = dict.fromkeys(sorted(met), 0.0)
    for _ in range(ROUNDS):
        levels = {source: _level(tubes, offsets) for source, tubes in shared.items()}
        offsets = {tube: _offset(tube, met[tube], levels)[0] for tube in offsets}
    levels = {source: _level(tubes, offsets) for source, tubes in shared.items()}
    return {tube: TubeOffset(*_offset(tube, met[tube], levels), len(met[tube])) for tube in offsets}


def _level(tubes: Mapping[str, Sequence[Reading]], offsets: Mapping[str, float]) -> float:
    """A source's level: the median of its tubes' means, so that no single tube decides."""
    counted = {tube: group for tube, group in tubes.items() if group[0].counts} or tubes
    return median([sum(r.deviation for r in group) / len(group) - offsets[tube] for tube, group in counted.items()])


def _offset(
    tube: str, met: Mapping[str, Mapping[str, Sequence[Reading]]], levels: Mapping[str, float]
) -> tuple[float, float]:
    """The offset and its standard uncertainty: a weighted mean of differences, with the prior N(0, `POSSIBLE`^2).

    met: the sources where it met other tubes.
    """
    weights, total = 1.0 / POSSIBLE**2, 0.0
    for source, tubes in met.items():
        group = tubes[tube]
        difference = sum(r.deviation for r in group) / len(group) - levels[source]
        # The level is itself uncertain: it comes from the other tubes at the source.
        variance = sum(r.uncertainty**2 for r in group) / len(group) ** 2 + USUAL**2 / (len(tubes) - 1)
        weights += 1.0 / variance
        total += difference / variance
    return total / weights, sqrt(1.0 / weights)
