"""Results with honest data only, to show what a defence costs: levels, ranks, evidence."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import nan

import numpy as np
from scipy.stats import spearmanr

from study_trust.bench import Standings
from study_trust.world import World


@dataclass(frozen=True)
class Honest:
    """For some regions. holds: share of 90 % intervals with the true level; width: mean half-width, points.

    off: median error of the typical content, points. tau: share of its intervals that contain the truth. levels: rank
    correlation of typical and true levels; steadiest: of the list and the true tau. marks: mean of evidence. missing:
    share of stations without figures.
    """

    stations: int
    holds: float
    width: float
    off: float
    tau: float
    levels: float
    steadiest: float
    marks: float
    missing: float

    def __str__(self) -> str:
        return (
            f"{self.stations} stations: {self.holds:.0%} of the 90 % intervals hold the level, +-{self.width:.2f} "
            f"points; median error {self.off:.2f}; tau {self.tau:.0%}; rank correlation {self.levels:.2f} (levels), "
            f"{self.steadiest:.2f} (steadiness); {self.marks:.2f} marks; {self.missing:.0%} without figures"
        )


def judged(regions: Iterable[tuple[World, Standings]], day: float) -> Honest:
    """Judge regions on a day, counted from the start."""
    pairs = [
        [(station, standings[station.id]) for station in world.stations if station.id in standings]
        for world, standings in regions
    ]
    known = [(station, one, one.figures) for pair in pairs for station, one in pair if one.figures]
    typical = [
        (station.expected(day), figures["typical"], figures["typical_interval"]) for station, _, figures in known
    ]
    return Honest(
        stations=len(known),
        holds=_mean(low <= true <= high for true, _, (low, high) in typical),
        width=_mean(one.half_width for _, one, _ in known),
        off=float(np.median([abs(said - true) for true, said, _ in typical])),
        tau=_mean(figures["tau_interval"][0] <= s.tau <= figures["tau_interval"][1] for s, _, figures in known),
        levels=_mean(
            spearmanr([(s.expected(day), one.figures["typical"]) for s, one in pair if one.figures])[0]
            for pair in pairs
        ),
        steadiest=_mean(spearmanr([(s.tau, one.by_tau) for s, one in pair if one.figures])[0] for pair in pairs),
        marks=_mean(one.evidence for _, one, _ in known),
        missing=_mean(one.figures is None for pair in pairs for _, one in pair),
    )


def _mean(values: Iterable[float]) -> float:
    listed = [float(value) for value in values]
    return float(np.mean(listed)) if listed else nan
