"""Priors from a region for its sources: the season, the usual scatter of deliveries, and the offsets of tubes."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import compress, pairwise
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.changepoint import Change, changes_of
from splitline.statistics.instrument_bias import POSSIBLE, Reading, TubeOffset, offsets_of
from splitline.statistics.robust import median
from splitline.statistics.season import Season, cells_of, met_at, season_of_cells
from splitline.statistics.steadiness import PRIOR_SCALE, Estimate, Observed, estimates
from splitline.statistics.visits import LIGHT, Columns, Visit, columns_of, deliveries_of

Array = NDArray[np.float64]

# Sources with at least this many visits enter the usual scatter; its own prior counts as this many sources.
LEAST_VISITS = 4
PRIOR_SOURCES = 3.0
# Smallest change of level that is reported, %: a test of usual uncertainty would not show a smaller one.
LEAST_STEP = 2.0
# Prior for a tube that shares no source with another, and the least uncertainty of any offset.
UNKNOWN = TubeOffset(0.0, POSSIBLE, 0)
LEAST_UNCERTAINTY = 0.05


@dataclass(frozen=True, slots=True)
class Priors:
    """season: of the region, flat and certain if None. prior_scale: of tau, %. offsets: by `owner_of` a visit."""

    season: Season | None = None
    prior_scale: float = PRIOR_SCALE
    offsets: Mapping[str, TubeOffset] | None = None


@dataclass(frozen=True, slots=True)
class DatedChange:
    """A source's level is higher (`up`) or lower (`down`) from `at` on (days since 1970-01-01 UTC)."""

    at: float
    direction: Literal["up", "down"]


@dataclass(frozen=True, slots=True)
class Figures:
    """The estimate for a source, and its changes of level, oldest first. wrong: times of the visits that are probably
    gross errors, days since 1970-01-01 UTC.
    """

    estimate: Estimate
    changes: tuple[DatedChange, ...]
    wrong: tuple[float, ...] = ()


def owner_of(visit: Visit) -> str:
    """Return the key of a visit's contributor and tube: an offset belongs to both."""
    return owner_named(visit.contributor, visit.tube)


def owner_named(contributor: str, tube: str) -> str:
    """Return the key of a contributor's tube among the offsets."""
    return f"{contributor}/{tube}"


def parted(owner: str) -> tuple[str, str]:
    """Return contributor and tube of a key among the offsets."""
    contributor, _, tube = owner.partition("/")
    return contributor, tube


def season_of(by_source: Mapping[str, Sequence[Visit]], country: Sequence[float] | None = None) -> Season:
    """Return the season of a region's sources; `country`: prior mean, which counts where data are few."""
    by_source = _uncertain(by_source)
    first = season_of_cells(cells_of(_contents(by_source)), country)
    # A change of level is not seasonal: before and after it, a source counts as two sources.
    return season_of_cells(cells_of(_contents(_parted(by_source, first))), country)


def priors_of(by_source: Mapping[str, Sequence[Visit]], country: Sequence[float] | None = None) -> Priors:
    """Return the priors from the visits of a region's sources; `country`: prior mean of the season."""
    season = season_of(by_source, country)
    readings, scatters = readings_of(by_source, season)
    return Priors(season, _prior_scale(scatters), offsets_of(readings))


def readings_of(by_source: Mapping[str, Sequence[Visit]], season: Season | None) -> tuple[list[Reading], list[float]]:
    """Return what tells tubes apart: the visits without season and without occasional gross errors; and the scatter,
    %, of each source with enough visits.
    """
    visited = [source for source in sorted(by_source) if by_source[source]]
    columns = [columns_of(by_source[source]) for source in visited]
    known = estimates([Observed(visits, season) for visits in columns], 0.0)
    found = list(zip(visited, known, strict=True))
    seldom = _seldom_wrong([(by_source[source], one.wrong) for source, one in found])
    most = _heaviest(by_source)
    readings = [
        _reading(source, visit, deviation, one.tau, most)
        for (source, one), visits in zip(found, columns, strict=True)
        for index, (visit, deviation) in enumerate(
            zip(by_source[source], _deviations(visits, season).tolist(), strict=True)
        )
        if index not in one.wrong or owner_of(visit) not in seldom
    ]
    return readings, [one.tau for source, one in found if len(by_source[source]) >= LEAST_VISITS]


def figures_of(visits: Sequence[Visit], priors: Priors, now_day: float) -> Figures | None:
    """Return the figures of a source from its visits, oldest first, and its region's priors; None without visits."""
    return figures_of_several([visits], [priors], now_day)[0] if visits else None


def figures_of_several(visits: Sequence[Sequence[Visit]], priors: Sequence[Priors], now_day: float) -> list[Figures]:
    """Return the figures of each source from its visits, oldest first and at least one, and its region's priors.

    A tube's offset widens its visits' uncertainty; a new tube is not a change of the source. After a change of level
    only later visits count, once there are enough to estimate scatter, unless they all come from one person and earlier
    ones from others.
    """
    observed = [_observed(*of_one) for of_one in zip(visits, priors, strict=True)]
    found = estimates([source for source, _ in observed], now_day)
    return [
        Figures(one, changes, tuple(source.visits.day[list(one.wrong)].tolist()))
        for one, (source, changes) in zip(found, observed, strict=True)
    ]


def _observed(visits: Sequence[Visit], priors: Priors) -> tuple[Observed, tuple[DatedChange, ...]]:
    """A source's visits since its last change of level with enough later visits, and all its changes."""
    columns = columns_of(visits)
    offset, uncertainty = _offsets(columns, priors)
    changes = _changes(columns, _deviations(columns, priors.season) - offset)
    since = max((change.index for change in changes if _is_enough(columns, change.index)), default=0)
    widened = _widened(columns.since(since), offset[since:], uncertainty[since:])
    dated = tuple(DatedChange(float(columns.day[change.index]), change.direction) for change in changes)
    return Observed(widened, priors.season, priors.prior_scale), dated


def _widened(visits: Columns, offset: Array, uncertainty: Array) -> Columns:
    """Visits with their uncertainties widened for the offsets of their tubes.

    The shared uncertainty of visits with a tube is the prior of its offset; what was learned of the offset updates it.
    """
    found = uncertainty**-2.0 - POSSIBLE**-2.0
    variance = visits.shared**2 / (1.0 + visits.shared**2 * found)
    mean = variance * offset / uncertainty**2
    return visits._replace(own=np.hypot(visits.own, offset), shared=np.sqrt(variance + mean**2))


def _heaviest(by_source: Mapping[str, Sequence[Visit]]) -> float:
    return max((visit.weight for visits in by_source.values() for visit in visits), default=1.0)


def _uncertain(by_source: Mapping[str, Sequence[Visit]]) -> dict[str, list[Visit]]:
    """Visits with low weights expressed as larger uncertainties."""
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


def _deviations(visits: Columns, season: Season | None) -> Array:
    """Each visit's content minus the season."""
    return visits.content - met_at(season, visits.day) if season else visits.content


def _parted(by_source: Mapping[str, Sequence[Visit]], season: Season) -> dict[str, Sequence[Visit]]:
    parts: dict[str, Sequence[Visit]] = {}
    for source, visits in by_source.items():
        columns = columns_of(visits)
        changes = _changes(columns, _deviations(columns, season))
        ends = [0, *(change.index for change in changes), len(visits)]
        parts |= {f"{source} {start}": visits[start:end] for start, end in pairwise(ends)}
    return parts


def _changes(visits: Columns, deviations: Array) -> list[Change]:
    """The changes of level, each by the index of its first visit, from contributors who count at the source.

    Visits that may belong to one delivery count once.
    """
    heavy = np.flatnonzero(visits.heavy)
    starts = deliveries_of(visits.day[heavy].tolist())
    means = np.add.reduceat(deviations[heavy], starts) / np.diff([*starts, len(heavy)])
    spread = median(visits.own[heavy].tolist()) * sqrt(len(starts) / len(heavy))
    found = changes_of(means.tolist(), spread, LEAST_STEP)
    return [replace(change, index=int(heavy[starts[change.index]])) for change in found]


def _seldom_wrong(found: Sequence[tuple[Sequence[Visit], Sequence[int]]]) -> set[str]:
    """Tubes with occasional gross errors, or with a single visit that is one; a tube with an offset is always off."""
    every = Counter(owner_of(visit) for visits, _ in found for visit in visits)
    wrong = Counter(owner_of(visits[index]) for visits, indices in found for index in indices)
    return {owner for owner, count in wrong.items() if every[owner] == 1 or 2 * count <= every[owner]}


def _reading(source: str, visit: Visit, deviation: float, tau: float, most: float) -> Reading:
    uncertainty = sqrt(tau**2 + visit.own_uncertainty**2)
    return Reading(source, owner_of(visit), deviation, uncertainty, visit.weight >= LIGHT * most)


def _is_enough(visits: Columns, since: int) -> bool:
    every, now = (list(compress(visits.who[start:], visits.heavy[start:])) for start in (0, since))
    return len(now) >= LEAST_VISITS and (len(set(every)) == 1 or len(set(now)) > 1)


def _offsets(visits: Columns, priors: Priors) -> Array:
    """The offset of each visit's tube, where known, and its uncertainty: two rows."""
    known = priors.offsets or {}
    owners = list(zip(visits.who, visits.tube, strict=True))
    numbers = {owner: number for number, owner in enumerate(dict.fromkeys(owners))}
    found = [known.get(owner_named(*owner), UNKNOWN) for owner in numbers]
    # Stored uncertainties are rounded, some of them to zero.
    rows = np.array([[one.offset, max(one.uncertainty, LEAST_UNCERTAINTY)] for one in found]).T
    return rows[:, [numbers[owner] for owner in owners]]


def _prior_scale(scatters: Sequence[float]) -> float:
    """The region's usual scatter, shrunk to the general value where few sources are available."""
    if not scatters:
        return PRIOR_SCALE
    return (PRIOR_SOURCES * PRIOR_SCALE + len(scatters) * median(scatters)) / (PRIOR_SOURCES + len(scatters))
