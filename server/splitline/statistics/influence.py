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

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from splitline.statistics.robust import MAD_TO_SD, median, weighted_middle
from splitline.statistics.visits import Visit

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
    """One visit, %, its variance, and the median near it of each person there, its contributor included."""

    who: str
    source: str
    content: float
    variance: float
    people: tuple[str, ...]
    said: tuple[float, ...]


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
    votes = {who: _vote(when, who in lone) for who, when in known.items()}
    beside = _beside(by_source, votes)
    agreement = _agreement(beside, votes)
    weighty = WEIGHTY * max(votes.values(), default=0.0)
    met = {one.who for one in beside if any(votes[who] >= weighty for who in one.people if who != one.who)}
    return {
        who: _stepped(_earned(when) * _overlap(when, who in lone, who in met) * agreement.get(who, 1.0))
        for who, when in known.items()
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


def _agreement(beside: Sequence[Beside], votes: Mapping[str, float]) -> dict[str, float]:
    """Return how well each contributor who can be compared agrees with the vote.

    The minimum over the sources: good readings at one source do not make up for bad ones at another.
    """
    found: dict[str, float] = {}
    for _ in range(ROUNDS):
        visits: Counter[tuple[str, str]] = Counter()
        squares: defaultdict[tuple[str, str], float] = defaultdict(float)
        for one in beside:
            level = weighted_middle(one.said, [votes[who] * found.get(who, 1.0) for who in one.people])
            visits[one.who, one.source] += 1
            squares[one.who, one.source] += min((one.content - level) ** 2 / one.variance, FARTHEST**2)
        found = {}
        for (who, source), count in visits.items():
            here = CHANCE * (EXPECTED + count) / (EXPECTED + squares[who, source])
            found[who] = min(1.0, here, found.get(who, 1.0))
    return found


def _beside(by_source: Mapping[str, Sequence[Visit]], votes: Mapping[str, float]) -> list[Beside]:
    """Every visit near which somebody else visited the same source."""
    found = []
    for source, visits in sorted(by_source.items()):
        if len(visits) < 2:
            continue
        scatter = _scatter(visits, votes)
        days = [visit.sampled_at for visit in visits]
        for visit in visits:
            begin = bisect_left(days, visit.sampled_at - COMPARED)
            end = bisect_right(days, visit.sampled_at + COMPARED)
            by_person: defaultdict[str, list[float]] = defaultdict(list)
            for near in visits[begin:end]:
                by_person[near.contributor].append(near.content)
            if len(by_person) > 1:
                said = tuple(median(contents) for contents in by_person.values())
                own = visit.own_uncertainty**2 + visit.shared_uncertainty**2
                others = [votes[who] for who in by_person if who != visit.contributor]
                variance = own + scatter**2 * (1.0 + sum(vote**2 for vote in others) / sum(others) ** 2)
                found.append(Beside(visit.contributor, source, visit.content, variance, tuple(by_person), said))
    return found


def _scatter(visits: Sequence[Visit], votes: Mapping[str, float]) -> float:
    """Scatter of the visits to a source, standard deviation in %, weighted by the contributors' votes."""
    counts = Counter(visit.contributor for visit in visits)
    shares = [votes[visit.contributor] / counts[visit.contributor] for visit in visits]
    centre = weighted_middle([visit.content for visit in visits], shares)
    return max(SCATTER, MAD_TO_SD * weighted_middle([abs(visit.content - centre) for visit in visits], shares))


def _stepped(weight: float) -> float:
    """The next lower step, allowing for rounding errors."""
    return max((step for step in STEPS if step <= weight + 1e-9), default=STEPS[0])
