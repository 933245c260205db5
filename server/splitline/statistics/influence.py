"""How much each contributor counts in a region: influence is earned.

Identities cost nothing (J. R. Douceur, The Sybil Attack, IPTPS 2002), so a stranger counts little at first. Three
things raise a weight. Time: the days on which the server received something from the contributor, by its own clock;
claimed times are ignored. Overlap: more than one source, and sources also tested by somebody of long standing.
Agreement there: the inverse of the mean squared error, shrunk to 1 when it is based on little. Agreement and truth are
estimated in turn (truth discovery: Q. Li et al., Proc. VLDB Endowment 8, 2014). The truth is a weighted vote; votes
grow with the days since the first report, so that many newcomers cannot outvote long-standing contributors (starting
from those already known: EigenTrust, S. D. Kamvar et al., WWW 2003).

In a new region everybody is a stranger, and all count alike: only ratios of weights matter.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import MAD_TO_SD, MIDDLE, weighted_middle
from splitline.statistics.visits import Array, Visit

Places = NDArray[np.intp]

# Days between first and last report, and days with a report, that give the full weight for time; and those after which
# a contributor is known even if there is nobody to compare with. From memory, like all limits here.
LONG_ENOUGH, OFTEN_ENOUGH = 28.0, 4.0
VERY_LONG, VERY_OFTEN = 84, 12
# Weight of a stranger.
STRANGER = 0.02
# Factors for contributors who reported only one source, or no source that others tested: at first, and once known.
ONE_SOURCE, ALONE = (0.25, 0.5), (0.5, 0.75)
# Visits more than this many days apart are not compared: the season differs.
COMPARED = 45.0
# Least scatter of deliveries to one source, standard deviation in %; the votes may show more.
SCATTER = 2.5
# Prior of agreement: this many visits with the expected error. Errors are clipped at FARTHEST standard deviations.
# Squares up to CHANCE times the expected are put down to chance, or to a station that scatters more than others.
EXPECTED, FARTHEST, CHANCE = 4.0, 3.0, 1.5
# A vote grows with the square of the days, up to GROWING. It is multiplied by LONE_VOTE for contributors who reported
# one source only, until they are known. Overlap needs somebody with at least WEIGHTY of the region's largest vote.
GROWING, LONE_VOTE, WEIGHTY = 730, 0.25, 0.25
ROUNDS = 3
# Weights are rounded down to these steps: smaller changes need no update, and identify nobody.
STEPS = (0.001, 0.005, 0.02, 0.05, 0.1, 0.25, 0.5, 0.75, 1.0)


class Activity(NamedTuple):
    """When a server received something from a contributor, by its own clock, before the day the figures are for.

    first, last: days since 1970-01-01; days: number of days with a report; regions: number of regions reported from.
    """

    first: int
    last: int
    days: int
    regions: int = 1


NEVER = Activity(0, 0, 0)


class Beside(NamedTuple):
    """The visits to a source near which somebody else visited it, and what each person said near each of them.

    who: contributors. number, content, variance: of each visit, its contributor's place in `who`, its content, %, and
    the variance of that. visit, person, said: a visit, somebody near it, its contributor included, and the median of
    what they read near it, %; by visit and median.
    """

    who: Places
    number: Places
    content: Array
    variance: Array
    visit: Places
    person: Places
    said: Array


def weights_of(by_source: Mapping[str, Sequence[Visit]], activity: Mapping[str, Activity]) -> dict[str, float]:
    """Return the weight, 0..1, of everybody with visits at a region's sources.

    by_source: visits, oldest first. activity: contributors that are missing are new.
    """
    here: defaultdict[str, int] = defaultdict(int)
    for visits in by_source.values():
        for contributor in {visit.contributor for visit in visits}:
            here[contributor] += 1
    known = {who: activity.get(who, NEVER) for who in sorted(here)}
    lone = {who for who, when in known.items() if max(here[who], when.regions) < 2}
    votes = np.array([_vote(when, who in lone) for who, when in known.items()])
    places = {who: place for place, who in enumerate(known)}
    beside = [_beside(visits, places, votes) for _, visits in sorted(by_source.items()) if len(visits) > 1]
    met, agreement = _met(beside, votes).tolist(), _agreement(beside, votes).tolist()
    return {
        who: _stepped(_earned(when) * _overlap(when, who in lone, has_met) * agrees)
        for (who, when), has_met, agrees in zip(known.items(), met, agreement, strict=True)
    }


def _is_known(activity: Activity) -> bool:
    return activity.last - activity.first >= VERY_LONG and activity.days >= VERY_OFTEN


def _vote(activity: Activity, is_lone: bool) -> float:
    often = min(1.0, max(1, activity.days) / OFTEN_ENOUGH)
    full = LONE_VOTE if is_lone and not _is_known(activity) else 1.0
    return full * often * min(GROWING, max(1, activity.last - activity.first)) ** 2


def _earned(activity: Activity) -> float:
    time = min(1.0, (activity.last - activity.first) / LONG_ENOUGH) * min(1.0, activity.days / OFTEN_ENOUGH)
    return STRANGER + (1.0 - STRANGER) * time


def _overlap(activity: Activity, is_lone: bool, has_met: bool) -> float:
    if is_lone:
        return ONE_SOURCE[_is_known(activity)]
    return 1.0 if has_met else ALONE[_is_known(activity)]


def _met(beside: Sequence[Beside], votes: Array) -> NDArray[np.bool_]:
    """Whether each contributor visited a source near somebody else whose vote has some weight."""
    met = np.zeros(len(votes), dtype=np.bool_)
    for one in beside:
        own = one.who[one.number][one.visit]
        met[own[(one.person != own) & (votes[one.person] >= WEIGHTY * votes.max())]] = True
    return met


def _agreement(beside: Sequence[Beside], votes: Array) -> Array:
    """Return how well each contributor agrees with the vote; 1 without anything to compare.

    The minimum over the sources: good readings at one source do not make up for bad ones at another.
    """
    found = np.ones_like(votes)
    for _ in range(ROUNDS):
        weights, found = votes * found, np.ones_like(votes)
        for one in beside:
            squares = np.minimum((one.content - _levels(one, weights)) ** 2 / one.variance, FARTHEST**2)
            expected = CHANCE * (EXPECTED + np.bincount(one.number))
            found[one.who] = np.minimum(found[one.who], expected / (EXPECTED + np.bincount(one.number, squares)))
    return found


def _levels(one: Beside, weights: Array) -> Array:
    """The weighted middle of what was said near each visit, as `robust.weighted_middle` of each, %."""
    of_each = weights[one.person]
    shares = of_each / np.bincount(one.visit, of_each)[one.visit]
    # The shares near each earlier visit add up to 1.
    upto = np.cumsum(shares) - one.visit
    within = np.minimum(upto, MIDDLE[1]) - np.maximum(upto - shares, MIDDLE[0])
    levels: Array = np.bincount(one.visit, np.maximum(within, 0.0) * one.said) / (MIDDLE[1] - MIDDLE[0])
    return levels


def _beside(visits: Sequence[Visit], places: Mapping[str, int], votes: Array) -> Beside:
    """Compare the visits to a source. places: of the contributors in `votes`."""
    days, content, own, shared = np.array([visit[:4] for visit in visits]).T
    who = np.array([places[visit.contributor] for visit in visits])
    scatter = _scatter(content, who, votes)
    visit, person, said = _said(days, content, who)
    met = np.bincount(visit) > 1
    kept = met[visit]
    visit, person, said = (np.cumsum(met) - 1)[visit[kept]], person[kept], said[kept]
    who, content = who[met], content[met]
    others = np.where(person == who[visit], 0.0, votes[person])
    of_vote = np.bincount(visit, others**2) / np.bincount(visit, others) ** 2
    variance = own[met] ** 2 + shared[met] ** 2 + scatter**2 * (1.0 + of_vote)
    return Beside(*np.unique(who, return_inverse=True), content, variance, visit, person, said)


def _said(days: Array, content: Array, who: Places) -> tuple[Places, Places, Array]:
    """Each visit with everybody near it, and the median of what they read there, by visit and median."""
    begin = np.searchsorted(days, days - COMPARED)
    count = np.searchsorted(days, days + COMPARED, "right") - begin
    visit = np.repeat(np.arange(len(days)), count)
    near = np.arange(len(visit)) + np.repeat(begin - np.cumsum(count) + count, count)
    near = near[np.lexsort((content[near], who[near], visit))]
    person = who[near]
    first = np.flatnonzero((np.diff(visit, prepend=-1) != 0) | (np.diff(person, prepend=-1) != 0))
    count = np.diff(first, append=len(visit))
    below, above = content[near[first + (count - 1) // 2]], content[near[first + count // 2]]
    said = below + (above - below) * 0.5
    order = np.lexsort((said, visit[first]))
    return visit[first][order], person[first][order], said[order]


def _scatter(content: Array, who: Places, votes: Array) -> float:
    """Scatter of the visits to a source, standard deviation in %, weighted by the contributors' votes."""
    shares = (votes[who] / np.bincount(who)[who]).tolist()
    off = np.abs(content - weighted_middle(content.tolist(), shares))
    return max(SCATTER, MAD_TO_SD * weighted_middle(off.tolist(), shares))


def _stepped(weight: float) -> float:
    """The next lower step, allowing for rounding errors."""
    return max((step for step in STEPS if step <= weight + 1e-9), default=STEPS[0])
