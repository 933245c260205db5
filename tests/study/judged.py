"""What is under judgement: the published figures of a region's stations. Nothing else here knows of `splitline`."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from splitline.figures.priors import learned, weighed
from splitline.statistics.influence import Heard
from splitline.statistics.lessons import Figures, figures_of_several
from splitline.statistics.steadiness import probability_at_least
from splitline.statistics.visits import Visit, visits_of
from study.world import Reading

Interval = tuple[float, float]


@dataclass(frozen=True)
class Published:
    """Contents in % (V/V), intervals of 90 %.

    ranked_by: what the list of stations is sorted by, steadiest first. probability: that the next fill holds so much or
    more. changes: days since 1970-01-01 of changes of level, True where it rose.
    """

    typical: float
    typical_interval: Interval
    tau: float
    tau_interval: Interval
    next_fill: Interval
    floor: float
    ranked_by: float
    probability: Callable[[float], float]
    changes: list[tuple[float, bool]]


def published(readings: Mapping[str, Sequence[Reading]], day: float, weights: bool = True) -> dict[str, Published]:
    """Return the figures that a server without other regions publishes on a day (since 1970-01-01).

    weights: whether contributors earn their influence; each test is received on the day it was made.
    """
    visits = {name: visits_of(Visit(*reading) for reading in of_one) for name, of_one in readings.items()}
    found_there = learned(visits, _heard(visits), sum(map(len, readings.values())), None)
    if weights:
        visits = {name: weighed(of_one, found_there.weights) for name, of_one in visits.items()}
    found = figures_of_several(list(visits.values()), [found_there.lessons] * len(visits), day)
    return {name: _published(figures) for name, figures in zip(visits, found, strict=True)}


def _heard(visits: Mapping[str, Sequence[Visit]]) -> dict[str, Heard]:
    days: dict[str, set[int]] = {}
    for of_one in visits.values():
        for visit in of_one:
            days.setdefault(visit.contributor, set()).add(int(visit.sampled_at))
    return {who: Heard(min(some), max(some), len(some)) for who, some in days.items()}


def _published(figures: Figures) -> Published:
    found = figures.estimate
    return Published(
        found.typical,
        found.typical_interval,
        found.tau,
        found.tau_interval,
        found.next_fill,
        found.floor,
        found.tau_bound,
        lambda minimum: probability_at_least(found.next_fill_quantiles, minimum),
        [(change.at, change.direction == "up") for change in figures.changes],
    )
