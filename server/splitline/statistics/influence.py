"""How much each contributor counts in a region: influence is earned.

Identities cost nothing (J. R. Douceur, The Sybil Attack, IPTPS 2002), so a stranger's word counts little until three
things speak for it. Time: the days on which the server heard of somebody, by its own clock; claimed times are not
looked at. Overlap: more than one source, and sources that others tested too, whose word counts already (the idea of
EigenTrust: S. D. Kamvar et al., WWW 2003, in one step and without chosen first members). Agreement there: the inverse
of the mean squared error, drawn to 1 by how little it rests on (truth discovery: Q. Li et al., Proc. VLDB Endowment 8,
2014).

Where nobody is established yet, as in a new region, all are strangers alike: weights matter only against each other.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from math import sqrt
from typing import NamedTuple

from splitline.statistics.robust import median
from splitline.statistics.visits import Visit

# Days between the first and the last report, and days with a report, after which time says no more. From memory.
LONG_ENOUGH, OFTEN_ENOUGH = 28.0, 4.0
# What a stranger counts; whoever only ever reported one source, or none that others tested. From memory.
STRANGER, ONE_SOURCE, ALONE = 0.02, 0.25, 0.5
# Visits further apart than this, days, met other seasons: they are not compared.
COMPARED = 45.0
# Deliveries to one source scatter by about this much, standard deviation in %; from memory.
SCATTER = 2.5
# Agreement counts as if so many visits had been as far off as can be expected; nothing is taken to be further off.
EXPECTED, FARTHEST = 2.0, 5.0
# Weights are kept in steps: what moves by less need not be told, and tells nobody apart.
STEPS = (0.001, 0.005, 0.02, 0.05, 0.1, 0.25, 0.5, 0.75, 1.0)


class Heard(NamedTuple):
    """When a server heard of a contributor, by its own clock, before the day for which figures are made.

    first, last: days since 1970-01-01; days: on how many; regions: from how many.
    """

    first: int
    last: int
    days: int
    regions: int = 1


class Compared(NamedTuple):
    """One contributor's visits beside those of others: visits compared, their squared error in standard deviations."""

    visits: int = 0
    squares: float = 0.0


def weights_of(by_source: Mapping[str, Sequence[Visit]], heard: Mapping[str, Heard]) -> dict[str, float]:
    """Return the weight, 0..1, of everybody with visits at a region's sources.

    by_source: visits, oldest first. heard: a contributor that is missing was not heard of before.
    """
    sources: defaultdict[str, int] = defaultdict(int)
    for visits in by_source.values():
        for contributor in {visit.contributor for visit in visits}:
            sources[contributor] += 1
    times = {who: _time(heard.get(who)) for who in sorted(sources)}
    known = {who for who, time in times.items() if time >= 1.0} or set(times)
    compared = _compared(by_source, known)
    return {
        who: _stepped(_earned(time) * _agreed(_sources(sources[who], heard.get(who)), compared.get(who)))
        for who, time in times.items()
    }


def _sources(here: int, heard: Heard | None) -> int:
    """How many sources somebody reported, at least: here, or one in each region."""
    return max(here, heard.regions if heard else 0)


def _time(heard: Heard | None) -> float:
    if heard is None:
        return 0.0
    return min(1.0, (heard.last - heard.first) / LONG_ENOUGH) * min(1.0, heard.days / OFTEN_ENOUGH)


def _earned(time: float) -> float:
    return STRANGER + (1.0 - STRANGER) * time


def _agreed(sources: int, compared: Compared | None) -> float:
    overlap = ONE_SOURCE if sources < 2 else 1.0 if compared else ALONE
    visits, squares = compared or Compared()
    return overlap * min(1.0, (EXPECTED + visits) / (EXPECTED + squares))


def _compared(by_source: Mapping[str, Sequence[Visit]], known: set[str]) -> dict[str, Compared]:
    """Everybody's visits near which a known contributor other than themselves visited the same source."""
    found: defaultdict[str, Compared] = defaultdict(Compared)
    for source in sorted(by_source):
        theirs = [visit for visit in by_source[source] if visit.contributor in known]
        days = [visit.sampled_at for visit in theirs]
        for visit in by_source[source]:
            begin = bisect_left(days, visit.sampled_at - COMPARED)
            end = bisect_right(days, visit.sampled_at + COMPARED)
            off = _off(visit, theirs[begin:end])
            if off is not None:
                before = found[visit.contributor]
                found[visit.contributor] = Compared(before.visits + 1, before.squares + min(off, FARTHEST) ** 2)
    return dict(found)


def _off(visit: Visit, near: Sequence[Visit]) -> float | None:
    """How far a visit is from what others found, in standard deviations; each of these has one say."""
    others: defaultdict[str, list[Visit]] = defaultdict(list)
    for other in near:
        if other.contributor != visit.contributor:
            others[other.contributor].append(other)
    if not others:
        return None
    said = [median([other.content for other in of_one]) for of_one in others.values()]
    own = visit.own_uncertainty**2 + visit.shared_uncertainty**2
    return abs(visit.content - median(said)) / sqrt(own + SCATTER**2 * (1.0 + 1.0 / len(said)))


def _stepped(weight: float) -> float:
    """The step below; a rounding error beneath one is on it."""
    return max((step for step in STEPS if step <= weight + 1e-9), default=STEPS[0])
