"""From readings to visits: one person at one source on one day (UTC) counts once."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import floor, inf, sqrt
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

# Usual days between two deliveries at a station: common practice, no source.
DELIVERY = 10.0
LARGEST_SHARE = 1.0 / 3.0
# From this weight on a contributor is known: their visits are evidence, see `influence`.
ESTABLISHED = 0.75
# Those who count less than half as much as whoever counts most at a source hold this share of it together, at most: as
# much as gross errors do.
LIGHT, LIGHT_SHARE = 0.5, 0.05
BY_PERSON = attrgetter("contributor", "sampled_at", "content")
# Not by who first: a phone knows people by other names than the server.
BY_DAY = attrgetter("sampled_at", "content", "contributor")


class Visit(NamedTuple):
    """One visit of one contributor to one source. Many are made with every batch, a tuple at a fifth of the cost.

    sampled_at: days since 1970-01-01 UTC. content: % (V/V). own_uncertainty: standard, the part not shared by other
    visits with the same tube, > 0. shared_uncertainty: standard, the part that is. Both in %. tube: whose id, if known.
    weight: of the contributor, above 0 to 1, see `influence`.
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


def deliveries_of(visits: Sequence[Visit]) -> list[int]:
    """Return where visits, oldest first, begin that may have met one delivery: no later than `DELIVERY` days after."""
    starts: list[int] = []
    for index, visit in enumerate(visits):
        if not starts or visit.sampled_at - visits[starts[-1]].sampled_at > DELIVERY:
            starts.append(index)
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


def heavy_of(visits: Sequence[Visit]) -> list[bool]:
    """Return which visits are by contributors who count at least half as much as whoever counts most."""
    most = max((visit.weight for visit in visits), default=1.0)
    return [visit.weight >= LIGHT * most for visit in visits]


def weights_of(visits: Sequence[Visit]) -> list[float]:
    """Return how much each visit counts, 0..1.

    Each counts by the weight of its contributor; whoever counts most at the source, for 1. Visits between which a
    station was not supplied meet one delivery: of deliveries `DELIVERY` days apart two visits share one with the
    probability 1 - distance / DELIVERY, and together such visits count as one. Of four or more people nobody holds more
    than a third of a source, or of two more than half; of three, who has most holds no more than half of what the
    others would have. Those who count little make no people: together they hold a twentieth.
    """
    heavy, days = heavy_of(visits), np.array([visit.sampled_at for visit in visits])
    of_person = np.array([visit.weight for visit in visits])
    of_person /= of_person.max()
    alone: list[float] = (of_person / (1.0 + _alike(days, of_person))).tolist()
    by_person: defaultdict[str, float] = defaultdict(float)
    for visit, weight, is_heavy in zip(visits, alone, heavy, strict=True):
        by_person[visit.contributor if is_heavy else ""] += weight
    light = by_person.pop("", 0.0)
    most = _most_of(sorted(by_person.values(), reverse=True))
    shares = {who: min(1.0, most / weight) for who, weight in by_person.items()}
    held = sum(weight * shares[who] for who, weight in by_person.items())
    shares[""] = min(1.0, LIGHT_SHARE / (1.0 - LIGHT_SHARE) * held / light) if light else 1.0
    return [
        weight * shares[visit.contributor if is_heavy else ""]
        for visit, weight, is_heavy in zip(visits, alone, heavy, strict=True)
    ]


def _alike(days: NDArray[np.float64], of_person: NDArray[np.float64]) -> NDArray[np.float64]:
    """How many others each visit shares its delivery with, by their weight. By distance in the row: few are near."""
    order = np.argsort(days)
    days, of_person = days[order], of_person[order]
    others = np.zeros(len(days))
    for apart in range(1, len(days)):
        near = 1.0 - (days[apart:] - days[:-apart]) / DELIVERY
        if near.max() <= 0.0:
            break
        near = np.maximum(0.0, near)
        others[apart:] += near * of_person[:-apart]
        others[:-apart] += near * of_person[apart:]
    found = np.empty(len(days))
    found[order] = others
    return found


def _most_of(heaviest: Sequence[float]) -> float:
    """Return what one person may count, from what each would by themselves, the most first."""
    people = len(heaviest)
    if people < 2:
        return inf
    share = max(1.0 / people, LARGEST_SHARE)
    # With the first held back, the second may hold too much; then so much is left to the others that no third can.
    most = sum(heaviest[1:]) * share / (1.0 - share)
    return most if people == 3 or most >= heaviest[1] else sum(heaviest[2:])
