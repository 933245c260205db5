"""What a contributor's tube reads too high or too low, from sources where contributors overlap.

Each visit is its source's level plus its tube's offset plus scatter. Levels and offsets are taken apart in turn; an
offset is drawn to nothing by how little it rests on. It is told to its contributor and widens their uncertainty; it
never corrects a reading.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from splitline.statistics.robust import median

ROUNDS = 20
# Offsets of sound tubes scatter by about this much, %, and an offset is looked for up to about that: from memory.
USUAL = 1.0
POSSIBLE = 2.5


@dataclass(frozen=True, slots=True)
class Reading:
    """One visit without its season: % (V/V); uncertainty: standard, of what the next visit would draw afresh. counts:
    whether it has a say in the level of its source, against which offsets are measured.
    """

    source: str
    tube: str
    deviation: float
    uncertainty: float
    counts: bool = True


@dataclass(frozen=True, slots=True)
class TubeOffset:
    """What a tube reads too high (positive) or too low, %, with its standard uncertainty; sources it rests on."""

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
    """A source's level: the median over its tubes, each by its own mean, so that no one tube decides."""
    counted = {tube: group for tube, group in tubes.items() if group[0].counts} or tubes
    return median([sum(r.deviation for r in group) / len(group) - offsets[tube] for tube, group in counted.items()])


def _offset(
    tube: str, met: Mapping[str, Mapping[str, Sequence[Reading]]], levels: Mapping[str, float]
) -> tuple[float, float]:
    """The offset and its standard uncertainty: a mean of its differences, drawn to 0 by `POSSIBLE`.

    met: the sources where it met other tubes.
    """
    weights, total = 1.0 / POSSIBLE**2, 0.0
    for source, tubes in met.items():
        group = tubes[tube]
        difference = sum(r.deviation for r in group) / len(group) - levels[source]
        # The level itself is known no better than the other tubes at the source are alike.
        variance = sum(r.uncertainty**2 for r in group) / len(group) ** 2 + USUAL**2 / (len(tubes) - 1)
        weights += 1.0 / variance
        total += difference / variance
    return total / weights, sqrt(1.0 / weights)
