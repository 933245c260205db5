"""From readings to visits: one person at one source on one day (UTC) counts once."""

from collections import Counter
from collections.abc import Iterable, Sequence
from math import floor, sqrt
from operator import attrgetter
from typing import NamedTuple

# Days; less than a week, so that weekly visits stay apart although one comes some hours early.
WEEK = 6.0
LARGEST_SHARE = 1.0 / 3.0
BY_PERSON = attrgetter("contributor", "sampled_at", "content")
BY_DAY = attrgetter("sampled_at", "contributor")


class Visit(NamedTuple):
    """One visit of one contributor to one source. Many are made with every batch, a tuple at a fifth of the cost.

    sampled_at: days since 1970-01-01 UTC. content: % (V/V). own_uncertainty: standard, the part not shared by other
    visits with the same tube, > 0. shared_uncertainty: standard, the part that is. Both in %. tube: whose id, if known.
    """

    sampled_at: float
    content: float
    own_uncertainty: float
    shared_uncertainty: float
    contributor: str
    tube: str = ""


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


def weeks_of(visits: Sequence[Visit]) -> list[int]:
    """Return where each week of the visits, oldest first, begins: it runs from its first visit."""
    starts: list[int] = []
    for index, visit in enumerate(visits):
        if not starts or visit.sampled_at - visits[starts[-1]].sampled_at > WEEK:
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
    )


def weights_of(visits: Sequence[Visit]) -> list[float]:
    """Return how much each visit counts, 0..1: nobody holds more than a third of a source, or half of two people."""
    counts = Counter(visit.contributor for visit in visits)
    most = max(1.0 / len(counts), LARGEST_SHARE) if counts else 1.0
    if most == 1.0:
        return [1.0] * len(visits)
    by_others = {who: (len(visits) - count) * most / (1.0 - most) / count for who, count in counts.items()}
    return [min(1.0, by_others[visit.contributor]) for visit in visits]
