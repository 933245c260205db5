"""The subject of the study: the published figures of a region's stations. Only this module imports `splitline`."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import nan

from splitline.commands.steadiness import guess
from splitline.figures.priors import learned, weighed
from splitline.statistics.influence import Activity
from splitline.statistics.priors import Figures, figures_of_several
from splitline.statistics.steadiness import probability_at_least
from splitline.statistics.visits import Visit, visits_of
from study.world import Reading

Interval = tuple[float, float]


@dataclass(frozen=True)
class Published:
    """Published figures. Contents in % (V/V), intervals of 90 %.

    ranked_by: the value that stations are sorted by, steadiest first. probability: that the next fill has at least this
    content. changes: days since 1970-01-01 of changes of level, True if it rose.
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
    """Return the figures that a server with only this region publishes on a day (since 1970-01-01).

    A missing shared uncertainty gets the command's guess.

    weights: whether contributors earn influence; each test is received on the day it was made.
    """
    visits, _ = guess({name: visits_of(map(_visit, of_one)) for name, of_one in readings.items()})
    found_there = learned(visits, _activity(visits), sum(map(len, readings.values())), None)
    if weights:
        visits = {name: weighed(of_one, found_there.weights) for name, of_one in visits.items()}
    found = figures_of_several(list(visits.values()), [found_there.priors] * len(visits), day)
    return {name: _published(figures) for name, figures in zip(visits, found, strict=True)}


def _visit(reading: Reading) -> Visit:
    shared = nan if reading.shared is None else reading.shared
    return Visit(*reading._replace(shared=shared))  # type: ignore[arg-type]  # _replace does not narrow


def _activity(visits: Mapping[str, Sequence[Visit]]) -> dict[str, Activity]:
    days: dict[str, set[int]] = {}
    for of_one in visits.values():
        for visit in of_one:
            days.setdefault(visit.contributor, set()).add(int(visit.sampled_at))
    return {who: Activity(min(some), max(some), len(some)) for who, some in days.items()}


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
