"""What a region teaches about its sources: the season, how far deliveries usually scatter, and whose tube is off."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt
from typing import Literal

import numpy as np

from splitline.statistics.change import Change, changes_of
from splitline.statistics.offsets import Reading, TubeOffset, offsets_of
from splitline.statistics.robust import median
from splitline.statistics.season import Season, cells_of, met_at, season_of_cells
from splitline.statistics.steadiness import PRIOR_SCALE, Estimate, Observed, estimates
from splitline.statistics.visits import LIGHT, Visit, deliveries_of, heavy_of

# A source teaches of scatter from this many visits on; the prior counts as much as this many sources.
LEAST_VISITS = 4
PRIOR_SOURCES = 3.0
# A change of level that one test of usual uncertainty would not show is not told, %.
LEAST_STEP = 2.0


@dataclass(frozen=True, slots=True)
class Lessons:
    """season: of the region, flat and certain if None. prior_scale: of tau, %. offsets: by `owner_of` a visit."""

    season: Season | None = None
    prior_scale: float = PRIOR_SCALE
    offsets: Mapping[str, TubeOffset] | None = None


@dataclass(frozen=True, slots=True)
class DatedChange:
    """From `at` (days since 1970-01-01 UTC) on a source lies higher (`up`) or lower (`down`) than before."""

    at: float
    direction: Literal["up", "down"]


@dataclass(frozen=True, slots=True)
class Figures:
    """What is known of a source, and its changes of level, oldest first. wrong: when the visits were that are taken for
    gross errors, days since 1970-01-01 UTC.
    """

    estimate: Estimate
    changes: tuple[DatedChange, ...]
    wrong: tuple[float, ...] = ()


def owner_of(visit: Visit) -> str:
    """Return the tube and whose it is: an offset belongs to both."""
    return owner_named(visit.contributor, visit.tube)


def owner_named(contributor: str, tube: str) -> str:
    """Return how a contributor's tube is named among offsets."""
    return f"{contributor}/{tube}"


def parted(owner: str) -> tuple[str, str]:
    """Return contributor and tube of a name among offsets."""
    contributor, _, tube = owner.partition("/")
    return contributor, tube


def season_of(by_source: Mapping[str, Sequence[Visit]], country: Sequence[float] | None = None) -> Season:
    """Return the season of a region's sources; `country`: what to draw it to where the region says little."""
    by_source = _uncertain(by_source)
    first = season_of_cells(cells_of(_contents(by_source)), country)
    # A change of level is not the season: what lies before and after it is taken as two sources.
    return season_of_cells(cells_of(_contents(_parted(by_source, first))), country)


def lessons_of(by_source: Mapping[str, Sequence[Visit]], country: Sequence[float] | None = None) -> Lessons:
    """Return what the visits of a region's sources teach; `country`: the season to draw it to."""
    season = season_of(by_source, country)
    visited = [source for source in sorted(by_source) if by_source[source]]
    known = estimates([Observed(by_source[source], season) for source in visited], 0.0)
    found = list(zip(visited, known, strict=True))
    scatters = [one.tau for source, one in found if len(by_source[source]) >= LEAST_VISITS]
    seldom = _seldom_wrong([(by_source[source], one.wrong) for source, one in found])
    most = _heaviest(by_source)
    readings = [
        _reading(source, visit, deviation, one.tau, most)
        for source, one in found
        for index, (visit, deviation) in enumerate(
            zip(by_source[source], _deviations(by_source[source], season), strict=True)
        )
        if index not in one.wrong or owner_of(visit) not in seldom
    ]
    return Lessons(season, _prior_scale(scatters), offsets_of(readings))


def figures_of(visits: Sequence[Visit], lessons: Lessons, now_day: float) -> Figures | None:
    """Return what the visits of a source, oldest first, tell in the light of its region; None without visits."""
    return figures_of_several([visits], [lessons], now_day)[0] if visits else None


def figures_of_several(visits: Sequence[Sequence[Visit]], lessons: Sequence[Lessons], now_day: float) -> list[Figures]:
    """Return what the visits of each source, oldest first and one at least, tell in the light of its region's lessons.

    A tube's offset widens its visits' uncertainty, and another tube is no change of the source. After a change of level
    only what came since is counted, once that is enough to tell of scatter, and not the word of one person against the
    others.
    """
    changes = [_changes_of(*of_one) for of_one in zip(visits, lessons, strict=True)]
    observed = [_since(*of_one) for of_one in zip(visits, lessons, changes, strict=True)]
    found = estimates(observed, now_day)
    return [
        Figures(
            one,
            tuple(DatedChange(v[c.index].sampled_at, c.direction) for c in changed),
            tuple(source.visits[index].sampled_at for index in one.wrong),
        )
        for one, v, changed, source in zip(found, visits, changes, observed, strict=True)
    ]


def _changes_of(visits: Sequence[Visit], lessons: Lessons) -> list[Change]:
    deviations = _deviations(visits, lessons.season)
    return _changes(visits, [off - _offset(visit, lessons) for visit, off in zip(visits, deviations, strict=True)])


def _since(visits: Sequence[Visit], lessons: Lessons, changes: Sequence[Change]) -> Observed:
    """A source since its last change of level, as far as that is told."""
    since = max((c.index for c in changes if _tells(visits[c.index :], visits)), default=0)
    widened = [_widened(visit, lessons) for visit in visits[since:]]
    return Observed(widened, lessons.season, lessons.prior_scale)


def _heaviest(by_source: Mapping[str, Sequence[Visit]]) -> float:
    return max((visit.weight for visits in by_source.values() for visit in visits), default=1.0)


def _uncertain(by_source: Mapping[str, Sequence[Visit]]) -> dict[str, list[Visit]]:
    """The visits of those who count little, as uncertain as makes them count so."""
    most = _heaviest(by_source)
    return {
        source: [
            visit._replace(own_uncertainty=visit.own_uncertainty * sqrt(most / visit.weight))
            if visit.weight < most
            else visit
            for visit in visits
        ]
        for source, visits in by_source.items()
    }


def _contents(by_source: Mapping[str, Sequence[Visit]]) -> dict[str, list[tuple[float, float, float]]]:
    return {
        source: [(v.sampled_at, v.content, v.own_uncertainty) for v in visits] for source, visits in by_source.items()
    }


def _deviations(visits: Sequence[Visit], season: Season | None) -> list[float]:
    """What each visit lies above the season."""
    if not season:
        return [visit.content for visit in visits]
    apart = np.array([visit.content for visit in visits]) - met_at(season, [visit.sampled_at for visit in visits])
    found: list[float] = apart.tolist()
    return found


def _parted(by_source: Mapping[str, Sequence[Visit]], season: Season) -> dict[str, Sequence[Visit]]:
    parts: dict[str, Sequence[Visit]] = {}
    for source, visits in by_source.items():
        changes = _changes(visits, _deviations(visits, season))
        ends = [0, *(change.index for change in changes), len(visits)]
        parts |= {f"{source} {start}": visits[start:end] for start, end in pairwise(ends)}
    return parts


def _changes(visits: Sequence[Visit], deviations: Sequence[float]) -> list[Change]:
    """The changes of level, by the visit each begins with, that those tell of who count at the source.

    Visits that may have met one delivery count once.
    """
    heavy = [index for index, is_heavy in enumerate(heavy_of(visits)) if is_heavy]
    if not heavy:
        return []
    theirs = [visits[index] for index in heavy]
    groups = [*deliveries_of(theirs), len(theirs)]
    means = [sum(deviations[index] for index in heavy[start:end]) / (end - start) for start, end in pairwise(groups)]
    spread = median([visit.own_uncertainty for visit in theirs]) * sqrt(len(means) / len(theirs))
    return [replace(change, index=heavy[groups[change.index]]) for change in changes_of(means, spread, LEAST_STEP)]


def _seldom_wrong(found: Sequence[tuple[Sequence[Visit], Sequence[int]]]) -> set[str]:
    """Whose visits are gross errors now and then, or whose only one is: a tube is off always."""
    every = Counter(owner_of(visit) for visits, _ in found for visit in visits)
    wrong = Counter(owner_of(visits[index]) for visits, indices in found for index in indices)
    return {owner for owner, count in wrong.items() if every[owner] == 1 or 2 * count <= every[owner]}


def _reading(source: str, visit: Visit, deviation: float, tau: float, most: float) -> Reading:
    uncertainty = sqrt(tau**2 + visit.own_uncertainty**2)
    return Reading(source, owner_of(visit), deviation, uncertainty, visit.weight >= LIGHT * most)


def _tells(since: Sequence[Visit], visits: Sequence[Visit]) -> bool:
    heaviest = max(visit.weight for visit in visits)
    every, now = ([visit.contributor for visit in of if visit.weight >= LIGHT * heaviest] for of in (visits, since))
    return len(now) >= LEAST_VISITS and (len(set(every)) == 1 or len(set(now)) > 1)


def _offset(visit: Visit, lessons: Lessons) -> float:
    known = lessons.offsets.get(owner_of(visit)) if lessons.offsets else None
    return known.offset if known else 0.0


def _widened(visit: Visit, lessons: Lessons) -> Visit:
    offset = _offset(visit, lessons)
    return visit._replace(own_uncertainty=sqrt(visit.own_uncertainty**2 + offset**2)) if offset else visit


def _prior_scale(scatters: Sequence[float]) -> float:
    """The region's usual scatter, drawn to what is usual anywhere by how few sources tell of it."""
    if not scatters:
        return PRIOR_SCALE
    return (PRIOR_SOURCES * PRIOR_SCALE + len(scatters) * median(scatters)) / (PRIOR_SOURCES + len(scatters))
