"""Compares published figures with the truth, by station, then by cell."""

import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil, nan, sqrt

import numpy as np
from scipy.stats import spearmanr

from study.judged import Interval, Published, published
from study.world import YEAR, Region, Source, World, region

LEAST_STATIONS = 40
"""Small regions are pooled until they have this many stations; shares of fewer mean little."""
NEAR = 90.0
"""A change counts as found if one is dated within this many days of it, in its direction."""
SURE = 0.8
"""Minima with at least this stated probability of being met are judged."""
INTERVALS = ("typical", "tank_level", "next_fill", "floor", "tau", "tank_tau")


@dataclass(frozen=True)
class Score:
    """One region, or several small ones: means over stations. nan if there was nothing to judge.

    holds: share of intervals that contain the truth, by name; floor: share of next fills not below it. width: mean.
    rank: rank correlation of the sort value with the true scatter. off: median error of the typical content, points.
    stated, met: mean stated probability of meeting a minimum, and share that met it, where `SURE`. found: steps.
    false: reported changes without a step, per station and year.
    """

    holds: dict[str, float]
    width: dict[str, float]
    rank: float
    off: float
    stated: float
    met: float
    found: float
    false: float


def unit(world: World, name: str, seed: int, number: int) -> Score:
    """Draw the region of this number of a cell (or several small ones) and judge it; repeatable by seed."""
    random = np.random.default_rng([seed, zlib.crc32(name.encode()), number])
    drawn = [region(random, world) for _ in range(ceil(LEAST_STATIONS / world.sources))]
    return score(world, [pair for one in drawn for pair in judged(one)])


def judged(drawn: Region) -> Iterator[tuple[Source, Published]]:
    """Each station with its published figures."""
    found = published({name: source.readings for name, source in drawn.sources.items()}, drawn.day)
    return ((source, found[name]) for name, source in drawn.sources.items())


def score(world: World, pairs: list[tuple[Source, Published]]) -> Score:
    """Judge the stations of one kind of world."""
    sure = [(f.probability(s.minimum), s.next_fill >= s.minimum) for s, f in pairs]
    sure = [one for one in sure if one[0] >= SURE]
    steps = [_finds(f, s) for s, f in pairs if s.step]
    false = sum(len(f.changes) - (s.step is not None and _finds(f, s)) for s, f in pairs)
    return Score(
        holds={
            "typical": _share(_within(s.level, f.typical_interval) for s, f in pairs),
            "tank_level": _share(_within(s.tank_level, f.typical_interval) for s, f in pairs),
            "next_fill": _share(_within(s.next_fill, f.next_fill) for s, f in pairs),
            "floor": _share(s.next_fill >= f.floor for s, f in pairs),
            "tau": _share(_within(s.tau, f.tau_interval) for s, f in pairs),
            "tank_tau": _share(_within(s.tank_tau, f.tau_interval) for s, f in pairs),
        },
        width={
            "typical": _share(f.typical_interval[1] - f.typical_interval[0] for _, f in pairs),
            "next_fill": _share(f.next_fill[1] - f.next_fill[0] for _, f in pairs),
            "tau": _share(f.tau_interval[1] - f.tau_interval[0] for _, f in pairs),
        },
        rank=float(spearmanr([s.tau for s, _ in pairs], [f.ranked_by for _, f in pairs])[0]),
        off=float(np.median([abs(f.typical - s.level) for s, f in pairs])),
        stated=_share(probability for probability, _ in sure),
        met=_share(holds for _, holds in sure),
        found=_share(steps),
        false=false / len(pairs) / (world.days / YEAR),
    )


def _within(value: float, interval: Interval) -> bool:
    return interval[0] <= value <= interval[1]


def _finds(figures: Published, source: Source) -> bool:
    step = source.step
    return step is not None and any(abs(at - step.day) <= NEAR and up == (step.size > 0) for at, up in figures.changes)


def _share(values: Iterable[float]) -> float:
    listed = list(values)
    return float(np.mean(listed)) if listed else nan


def summary(scores: list[Score]) -> dict[str, float]:
    """A cell's figures: means over its regions.

    For each coverage also its 10 % quantile over regions (`_low`) and the standard error of its mean (`_error`), nan
    for a single region.
    """
    found: dict[str, float] = {}
    for name in INTERVALS:
        shares = [one.holds[name] for one in scores]
        found |= {name: float(np.mean(shares)), f"{name}_low": float(np.quantile(shares, 0.1))}
        found[f"{name}_error"] = float(np.std(shares, ddof=1) / sqrt(len(shares))) if len(shares) > 1 else nan
    for name in scores[0].width:
        found[f"{name}_width"] = float(np.mean([one.width[name] for one in scores]))
    for name in ("rank", "off", "stated", "met", "found", "false"):
        values = [value for one in scores if (value := getattr(one, name)) == value]
        found[name] = float(np.mean(values)) if values else nan
    return found
