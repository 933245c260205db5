"""What the season alone makes of the content, and how well that is known.

Winter blends are weaker by design, and that is not unsteadiness. A region's season is a deviation for each half-month
of the year, found from source means together with how uncertain it still is: sources have levels of their own, the
season is a second-order random walk around the year (H. Rue and L. Held, Gaussian Markov Random Fields, 2005, section
3.4), and how far it bends is weighed by the likelihood that is left when the levels are taken out (REML: H. D.
Patterson and R. Thompson, Biometrika 58, 1971). So a region of which little is known has a flat season and says how
wrong it may be, and one in the middle of a fall is not taken to have stopped falling on the day of its last visit.

Fuel follows the season on the day it is delivered, and a visit meets it some days later.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.visits import DELIVERY, LEFT, UNEVEN

BINS = 24
YEAR = 365.2425
# How much the season's step from one half-month to the next may change at the next, and how far deliveries and sources
# scatter, both standard deviations in %, in equal ratios; what is likely of the first before anything is known: from
# memory.
BENDS = (0.025, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6)
SCATTERS = (0.3, 0.6, 1.2, 2.4, 4.8)
USUAL_BEND = 0.25
# Days since the fuel that a visit meets was delivered, on the average, and how far that may be off in a region: a visit
# comes at any moment between deliveries, what is left of older ones adds to it, and anything up to twice is as likely.
AGE = DELIVERY * (UNEVEN / 2.0 + LEFT / (1.0 - LEFT))
AGE_UNCERTAINTY = AGE / sqrt(3.0)
# A first season from all cells as they are; then, twice, those far from it count less.
ROUNDS = 3
# Standard deviations beyond which a cell counts less (P. J. Huber, Robust Statistics, 1981).
FAR = 2.0

Matrix = NDArray[np.float64]
Days = Sequence[float] | Matrix


@dataclass(frozen=True, slots=True)
class Season:
    """deviations: % by half-month of the year, 0 for the first half of January. covariance: of these, %^2.

    Only differences between half-months mean anything: a source's level takes up what is common to all.
    """

    deviations: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """The mean of one source's visits in one half-month.

    day: since 1970-01-01 UTC. content: %. variance: of that, from measuring alone, %^2.
    """

    source: str
    day: float
    content: float
    variance: float


def season_of_cells(cells: Sequence[Cell], country: Sequence[float] | None = None) -> Season:
    """Return the season of a region; `country`: deviations to draw it to where the region says little."""
    around = np.zeros(BINS) if country is None else np.array(country)
    names = {name: index for index, name in enumerate(dict.fromkeys(cell.source for cell in cells))}
    source = np.array([names[cell.source] for cell in cells], dtype=np.intp)
    place = basis([cell.day - AGE for cell in cells])
    variance = np.array([cell.variance for cell in cells])
    left = np.array([cell.content for cell in cells]) - place @ around
    # Near 0 no digits are lost; each source has a level of its own anyway.
    left -= (_by_source(left, source) / np.maximum(_by_source(np.ones(len(cells)), source), 1.0))[source]
    trust = np.ones(len(cells))
    for _ in range(ROUNDS):
        mean, covariance, scatter = _posterior(left, place, source, variance, trust)
        off = left - place @ mean
        level = _by_source(trust * off, source) / np.maximum(_by_source(trust, source), 1e-9)
        distance = np.abs(off - level[source]) / np.sqrt(scatter + variance)
        trust = np.minimum(1.0, FAR / np.maximum(distance, FAR))
    centred = around + mean
    return Season(tuple((centred - centred.mean()).tolist()), tuple(map(tuple, covariance.tolist())))


def _by_source(values: Matrix, source: NDArray[np.intp]) -> Matrix:
    return np.bincount(source, weights=values).astype(np.float64)


def _posterior(
    left: Matrix, place: Matrix, source: NDArray[np.intp], variance: Matrix, trust: Matrix
) -> tuple[Matrix, Matrix, float]:
    """Mean and covariance of the season, averaged over how far it bends and how far sources scatter; that scatter."""
    found = [
        (_log_prior(bend) + likelihood, mean, covariance, scatter**2)
        for scatter in SCATTERS
        for bend, likelihood, mean, covariance in _given(left, place, source, variance, trust, scatter)
    ]
    logs = np.array([one[0] for one in found])
    share = np.exp(logs - logs.max())
    share /= share.sum()
    means, covariances = np.array([one[1] for one in found]), np.array([one[2] for one in found])
    mean = share @ means
    off = means - mean
    covariance = np.tensordot(share, covariances, axes=1) + (off * share[:, None]).T @ off
    return mean, covariance, float(share @ [one[3] for one in found])


def _log_prior(bend: float) -> float:
    """On equal ratios: a half-Cauchy distribution with the usual bend as its scale."""
    return float(np.log(bend / (1.0 + (bend / USUAL_BEND) ** 2)))


def _given(
    left: Matrix, place: Matrix, source: NDArray[np.intp], variance: Matrix, trust: Matrix, scatter: float
) -> list[tuple[float, float, Matrix, Matrix]]:
    """For each bend: log likelihood without the levels, mean and covariance of the season."""
    weight = trust / (scatter**2 + variance)
    sources = int(source.max()) + 1 if len(source) else 0
    weighted = weight[:, None] * place
    of_source = np.zeros((sources, BINS))
    np.add.at(of_source, source, weighted)
    total = np.bincount(source, weights=weight, minlength=sources)
    sums = np.bincount(source, weights=weight * left, minlength=sources)
    # What is left of the cells' own information once each source has a level of its own.
    known = weighted.T @ place - (of_source / total[:, None]).T @ of_source
    pull = weighted.T @ left - of_source.T @ (sums / total)
    square = float((weight * left**2).sum() - (sums**2 / total).sum())
    fixed = float(np.log(weight).sum() - np.log(total).sum()) - square
    found: list[tuple[float, float, Matrix, Matrix]] = []
    for bend in BENDS:
        precision = known + _BENDS / bend**2 + _MEAN
        factor = np.linalg.cholesky(precision)
        covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
        mean = covariance @ pull
        sizes = 2.0 * float(np.log(np.diag(factor)).sum()) + 2.0 * (BINS - 1) * float(np.log(bend))
        found.append((bend, 0.5 * (fixed + float(pull @ mean) - sizes), mean, covariance))
    return found


def _bends() -> Matrix:
    """The precision of a walk around the year whose steps change by 1."""
    second = np.roll(np.eye(BINS), 1, axis=0) + np.roll(np.eye(BINS), -1, axis=0) - 2.0 * np.eye(BINS)
    return np.asarray(second @ second, dtype=np.float64)


_BENDS = _bends()
# The mean of the year is nothing to differences; it is held at 0 so that the precision can be turned round.
_MEAN: Matrix = np.ones((BINS, BINS))


def country_of(seasons: Sequence[tuple[float, Sequence[float]]]) -> tuple[float, ...] | None:
    """Return the mean season of some regions, each (tests, deviations) by its tests; None without any."""
    total = sum(tests for tests, _ in seasons)
    if total <= 0.0:
        return None
    return tuple(sum(tests / total * deviations[place] for tests, deviations in seasons) for place in range(BINS))


def _place_of(days: Days) -> tuple[NDArray[np.intp], NDArray[np.intp], Matrix]:
    """The two half-months between whose middles each day lies, and how much of the second there is."""
    place = np.asarray(days) * (BINS / YEAR) - 0.5
    below = np.floor(place)
    first = below.astype(np.intp) % BINS
    return first, (first + 1) % BINS, place - below


def basis(days: Days) -> Matrix:
    """What each half-month has in the season at each day."""
    below, above, share = _place_of(days)
    found = np.zeros((len(share), BINS))
    row = np.arange(len(share))
    found[row, below], found[row, above] = 1.0 - share, share
    return found


def at_day(season: Season, day: float) -> float:
    """Return the deviation of what is delivered at a day since 1970-01-01 UTC, %: linear between half-months."""
    place = day * (BINS / YEAR) - 0.5
    below = floor(place)
    share = place - below
    return (1.0 - share) * season.deviations[below % BINS] + share * season.deviations[(below + 1) % BINS]


def met_at(season: Season, days: Days) -> Matrix:
    """Return the deviations of what visits meet at some days, %."""
    below, above, share = _place_of(np.asarray(days) - AGE)
    deviations = np.array(season.deviations)
    found: Matrix = (1.0 - share) * deviations[below] + share * deviations[above]
    return found


def unknown_of(season: Season, days: Days, weights: Days, now_day: float) -> tuple[float, float]:
    """Return two variances, %^2, of what is not known of a season: what a level and what a scatter inherit.

    The first is of the season now against its weighted mean at visits, the second the mean one of the season at visits
    against that. If what visits met is older or newer than `AGE`, the season comes earlier or later than was found.
    """
    every = basis(np.concatenate([np.asarray(days) - AGE, [now_day]]))
    place, share = every[:-1], np.asarray(weights) / np.sum(weights)
    covariance, mean = np.array(season.covariance), share @ place
    contrast = every[-1] - mean
    shifted = AGE_UNCERTAINTY / AGE * (at_day(season, now_day) - at_day(season, now_day - AGE))
    blurred = float(((place.T * share) @ place * covariance).sum() - mean @ covariance @ mean)
    # A covariance that was rounded may leave less than nothing.
    return max(0.0, float(contrast @ covariance @ contrast)) + shifted**2, max(0.0, blurred)


def cells_of(contents: Mapping[str, Sequence[tuple[float, float, float]]]) -> list[Cell]:
    """Return the source means of (day, content, standard uncertainty); a half-month of another year is another cell."""
    found = []
    for source in sorted(contents):
        by_bin: defaultdict[int, list[tuple[float, float, float]]] = defaultdict(list)
        for day, content, uncertainty in contents[source]:
            by_bin[floor(day / YEAR * BINS)].append((day, content, uncertainty**2))
        for _, group in sorted(by_bin.items()):
            count = len(group)
            day, content, variance = (sum(column) / count for column in zip(*group, strict=True))
            found.append(Cell(source, day, content, variance / count))
    return found
