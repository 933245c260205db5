"""From readings to visits: one person at one source on one day (UTC) counts once."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import compress
from math import floor, inf, sqrt
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

# Usual days between two deliveries at a station: common practice, no source.
DELIVERY = 10.0
# Share of old fuel in a station's tank after a delivery: the mean, and the standard deviation of a uniform
# distribution from zero to twice that. Common practice, no source.
LEFT = 0.15
LEFT_UNCERTAINTY = LEFT / sqrt(3.0)
# Mean square of the days between deliveries over their squared mean, if they vary by half: from memory.
UNEVEN = 1.25
# Visits this many days apart have no fuel in common; closer ones share more the closer they are. Longer than `DELIVERY`
# because a random moment falls into a long gap more often, and because old fuel correlates successive deliveries.
ALIKE = DELIVERY * UNEVEN * (1.0 + LEFT) / (1.0 - LEFT)
LARGEST_SHARE = 1.0 / 3.0
# Weight from which a contributor is established, so that their visits are evidence; see `influence`.
ESTABLISHED = 0.75
# Contributors with less than half the largest weight at a source together get at most this share of it.
LIGHT, LIGHT_SHARE = 0.5, 0.05
Array = NDArray[np.float64]
BY_PERSON = attrgetter("contributor", "sampled_at", "content")
# Not by contributor first: their ids differ between phone and server.
BY_DAY = attrgetter("sampled_at", "content", "contributor")


class Visit(NamedTuple):
    """One visit of one contributor to one source. A tuple, because every batch makes many: a fifth of the cost.

    sampled_at: days since 1970-01-01 UTC. content: % (V/V). own_uncertainty: standard, the part that is
    independent of other visits with the same tube, > 0. shared_uncertainty: standard, the part they have in common.
    Both in %. tube: its id, if known. weight: of the contributor, above 0 to 1, see `influence`.
    """

    sampled_at: float
    content: float
    own_uncertainty: float
    shared_uncertainty: float
    contributor: str
    tube: str = ""
    weight: float = 1.0


def visits_of(readings: Iterable[Visit]) -> list[Visit]:
    """Return the visits of the readings at one source, oldest first, each the mean of its contributor's readings."""
    readings = list(readings)
    if len(readings) < 2:
        return readings
    groups: list[list[Visit]] = []
    for reading in sorted(readings, key=BY_PERSON):
        group = groups[-1] if groups else None
        if group and group[0].contributor == reading.contributor and _together(group[0], reading):
            group.append(reading)
        else:
            groups.append([reading])
    return sorted(map(_mean, groups), key=BY_DAY)


def deliveries_of(days: Sequence[float]) -> list[int]:
    """Return the first index of each delivery, given sorted days: visits within `DELIVERY` days are one delivery."""
    starts: list[int] = []
    following = 0
    while following < len(days):
        starts.append(following)
        following = bisect_right(days, days[following] + DELIVERY)
    return starts


def _together(first: Visit, other: Visit) -> bool:
    return floor(other.sampled_at) == floor(first.sampled_at)


def _mean(group: list[Visit]) -> Visit:
    count = len(group)
    if count == 1:
        return group[0]
    return Visit(
        sampled_at=group[0].sampled_at,
        content=sum(r.content for r in group) / count,
        own_uncertainty=sqrt(sum(r.own_uncertainty**2 for r in group)) / count,
        shared_uncertainty=sum(r.shared_uncertainty for r in group) / count,
        contributor=group[0].contributor,
        tube=group[0].tube,
        weight=group[0].weight,
    )


class Columns(NamedTuple):
    """The visits of one source, one array per field of `Visit`; content and uncertainties in %.

    heavy: whether the contributor has at least half the largest weight.
    """

    day: Array
    content: Array
    own: Array
    shared: Array
    who: Sequence[str]
    tube: Sequence[str]
    weight: Array
    heavy: NDArray[np.bool_]

    def since(self, index: int) -> "Columns":
        """Return the visits from `index` on."""
        if index == 0:
            return self

        def rest(column: Array) -> Array:
            return column[index:]

        day, content, own, shared, weight = map(rest, (self.day, self.content, self.own, self.shared, self.weight))
        return Columns(day, content, own, shared, self.who[index:], self.tube[index:], weight, _heavy(weight))


def columns_of(visits: Sequence[Visit]) -> Columns:
    """Return visits, at least one, as columns."""
    days, contents, owns, shares, who, tube, weights = zip(*visits, strict=True)
    day, content, own, shared, weight = map(np.array, (days, contents, owns, shares, weights))
    return Columns(day, content, own, shared, who, tube, weight, _heavy(weight))


def _heavy(weight: Array) -> NDArray[np.bool_]:
    heavy: NDArray[np.bool_] = weight >= LIGHT * weight.max()
    return heavy


def weights_of(visits: Sequence[Visit]) -> list[float]:
    """Return the weight of each visit, see `shares_of`."""
    found: list[float] = shares_of(columns_of(visits)).tolist()
    return found


def shares_of(visits: Columns, alike: Array | float = 1.0) -> Array:
    """Return the weight of each visit; their sum is the effective sample size.

    Each visit has the weight of its contributor relative to the largest at the source. Two visits share fuel with
    probability 1 - distance / `ALIKE`, and visits that do count as one. alike: 0..1, the correlation of visits that
    share fuel (the design effect of L. Kish, Survey Sampling, 1965). With four or more people nobody has more than a
    third of the weight at a source, with two nobody more than half; with three, the largest has at most half of the
    others' own sum. People with low weights (`LIGHT`) do not count as people: together they have a twentieth.
    """
    of_person = visits.weight / visits.weight.max()
    # Rounding can make the sum less than the visit's own weight.
    alone = of_person / (1.0 + alike * np.maximum(0.0, _met_there(visits.day, of_person) - of_person))
    # All with low weights share place 0.
    places = {who: number for number, who in enumerate(dict.fromkeys(compress(visits.who, visits.heavy.tolist())), 1)}
    place = np.array([places.get(who, 0) for who in visits.who])
    held = np.bincount(place, alone)
    shares = np.minimum(1.0, _most_of(sorted(held[1:].tolist(), reverse=True)) / held.clip(1e-9))
    shares[0] = min(1.0, LIGHT_SHARE / (1.0 - LIGHT_SHARE) * float(held[1:] @ shares[1:]) / max(held[0], 1e-9))
    held_back: Array = shares[place]
    found: Array = alone * held_back
    # Effective sample size: a mean with some visits downweighted is better than their total weight suggests.
    found *= float(found.sum()) / float(found @ held_back)
    return found


def _met_there(days: Array, of_person: Array) -> Array:
    """The weight of the visits that each visit shares fuel with, itself included: sums within `ALIKE` days."""
    order = np.argsort(days, kind="stable")
    weight, day = of_person[order], days[order] - days.min()
    upto = np.concatenate([[0.0], np.cumsum(weight)])
    moment = np.concatenate([[0.0], np.cumsum(weight * day)])
    first, last = np.searchsorted(day, day - ALIKE), np.searchsorted(day, day + ALIKE)
    here = np.arange(1, len(day) + 1)
    before = (1.0 - day / ALIKE) * (upto[here] - upto[first]) + (moment[here] - moment[first]) / ALIKE
    after = (1.0 + day / ALIKE) * (upto[last] - upto[here]) - (moment[last] - moment[here]) / ALIKE
    found = np.empty(len(day))
    found[order] = before + after
    return found


def _most_of(heaviest: Sequence[float]) -> float:
    """Return the largest weight one person may have, given each one's own, largest first."""
    people = len(heaviest)
    if people < 2:
        return inf
    share = max(1.0 / people, LARGEST_SHARE)
    # With the first capped, the second may exceed the share; capping both at the rest leaves no third above it.
    most = sum(heaviest[1:]) * share / (1.0 - share)
    return most if people == 3 or most >= heaviest[1] else sum(heaviest[2:])
