"""The effect of the season on the content, with its uncertainty.

Winter blends are weaker by design; that is not unsteadiness. A region's season is a deviation for each half-month of
the year, estimated with its covariance from source means: each source has its own level, the season is a second-order
random walk around the year (H. Rue and L. Held, Gaussian Markov Random Fields, 2005, section 3.4), and how strongly it
bends is weighted by the likelihood with the levels integrated out (REML: H. D. Patterson and R. Thompson, Biometrika
58, 1971). So a region with few data has a flat season with a wide uncertainty, and a season that is falling at the
last visit is not assumed to stop there. How smooth the seen half of a year is says little about a part that nobody saw:
a smooth way through it, back to where the year began, would pull up a falling season.

Fuel follows the season on the day of delivery; a visit samples it some days later.
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
# Grids in equal ratios, standard deviations in %: of the second difference of the season, and of the scatter of
# deliveries and sources; and the prior scale of the first. From memory.
BENDS = (0.025, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6)
SCATTERS = (0.3, 0.6, 1.2, 2.4, 4.8)
USUAL_BEND = 0.6
# The first where nobody saw any of the three half-months, if at least half of the year was seen, %; and the
# number of cells that takes. From memory.
UNSEEN_BEND, ENOUGH = 4.0, 16
# Mean age of the fuel at a visit, days, and its standard uncertainty in a region: a visit comes at a random time
# between deliveries, and older fuel left in the tank adds to the age. Uniform from zero to twice the value.
AGE = DELIVERY * (UNEVEN / 2.0 + LEFT / (1.0 - LEFT))
AGE_UNCERTAINTY = AGE / sqrt(3.0)
# One round with all cells at full weight, then two with outliers downweighted.
ROUNDS = 3
# Standard deviations beyond which a cell is downweighted (P. J. Huber, Robust Statistics, 1981).
FAR = 2.0

Matrix = NDArray[np.float64]
Days = Sequence[float] | Matrix


@dataclass(frozen=True, slots=True)
class Season:
    """deviations: % by half-month of the year, 0 for the first half of January. covariance: of these, %^2.

    Only differences between half-months have a meaning: a constant is absorbed by the sources' levels.
    """

    deviations: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """The mean of one source's visits in one half-month.

    day: since 1970-01-01 UTC. content: %. variance: of content, from measurement alone, %^2.
    """

    source: str
    day: float
    content: float
    variance: float


def season_of_cells(cells: Sequence[Cell], country: Sequence[float] | None = None) -> Season:
    """Return the season of a region; `country`: the prior mean, which counts where the region has few data."""
    around = np.zeros(BINS) if country is None else np.array(country)
    cells = sorted(cells, key=lambda cell: cell.source)
    names = {name: index for index, name in enumerate(dict.fromkeys(cell.source for cell in cells))}
    source = np.array([names[cell.source] for cell in cells], dtype=np.intp)
    place = basis([cell.day - AGE for cell in cells])
    variance = np.array([cell.variance for cell in cells])
    left = np.array([cell.content for cell in cells]) - place @ around
    # Centred at 0 for precision; the sources' levels absorb the shift.
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
    """Mean and covariance of the season, averaged over the grids of bend and scatter; and the mean square scatter."""
    walks = _walks(_unseen(place))
    given = [_given(left, place, source, variance, trust, scatter, walks) for scatter in SCATTERS]
    logs, means, covariances = (np.concatenate(part) for part in zip(*given, strict=True))
    share = np.exp(logs - logs.max())
    share /= share.sum()
    mean = share @ means
    off = means - mean
    covariance = np.tensordot(share, covariances, axes=1) + (off * share[:, None]).T @ off
    return mean, covariance, float(share @ np.repeat(np.square(SCATTERS), len(BENDS)))


def _given(
    left: Matrix,
    place: Matrix,
    source: NDArray[np.intp],
    variance: Matrix,
    trust: Matrix,
    scatter: float,
    walks: tuple[Matrix, Matrix],
) -> tuple[Matrix, Matrix, Matrix]:
    """For each walk: log posterior with the levels integrated out, mean and covariance of the season.

    source: ascending numbers from 0.
    """
    weight = trust / (scatter**2 + variance)
    weighted = weight[:, None] * place
    of_source = np.add.reduceat(weighted, np.flatnonzero(np.diff(source, prepend=-1)))
    total, sums = _by_source(weight, source), _by_source(weight * left, source)
    # The cells' information with the sources' levels integrated out.
    known = weighted.T @ place - (of_source / total[:, None]).T @ of_source
    pull = weighted.T @ left - of_source.T @ (sums / total)
    square = float((weight * left**2).sum() - (sums**2 / total).sum())
    fixed = float(np.log(weight).sum() - np.log(total).sum()) - square
    precisions, sizes = walks
    factors = np.linalg.cholesky(known + precisions)
    under = np.linalg.inv(factors)
    covariances = under.swapaxes(1, 2) @ under
    means = covariances @ pull
    sizes = 2.0 * np.log(np.diagonal(factors, axis1=1, axis2=2)).sum(axis=1) - sizes
    return 0.5 * (fixed + means @ pull - sizes), means, covariances


def _unseen(place: Matrix) -> NDArray[np.bool_]:
    """Which second differences, by their middle, are of half-months that nobody saw; none if little was seen."""
    seen = place.any(axis=0)
    enough = 2 * int(seen.sum()) >= BINS and len(place) >= ENOUGH
    unseen: NDArray[np.bool_] = ~(seen | np.roll(seen, 1) | np.roll(seen, -1)) & enough
    return unseen


def _walks(unseen: NDArray[np.bool_]) -> tuple[Matrix, Matrix]:
    """For each bend: the precision of the season's walk, and the logarithm of its determinant and squared prior.

    The determinant is up to a factor: second differences are any numbers whose sum is 0. The prior is half-normal with
    scale `USUAL_BEND`, as a density in the logarithm of the bend.
    """
    bends = np.array(BENDS)
    spreads = np.where(unseen, UNSEEN_BEND, bends[:, None])
    sizes = np.log((spreads**2).sum(axis=1)) - 2.0 * np.log(spreads).sum(axis=1)
    prior = 2.0 * np.log(bends) - (bends / USUAL_BEND) ** 2
    return (_SECOND / spreads[:, None] ** 2) @ _SECOND + _MEAN, sizes + prior


# The second differences of a year, which is a circle: a symmetric matrix.
_SECOND: Matrix = np.roll(np.eye(BINS), 1, axis=0) + np.roll(np.eye(BINS), -1, axis=0) - 2.0 * np.eye(BINS)
# Second differences do not determine the mean of the year; tying it to 0 makes the precision invertible.
_MEAN: Matrix = np.ones((BINS, BINS))


def country_of(seasons: Sequence[tuple[float, Sequence[float]]]) -> tuple[float, ...] | None:
    """Return the mean season of some regions, each (tests, deviations) by its tests; None without any."""
    total = sum(tests for tests, _ in seasons)
    if total <= 0.0:
        return None
    return tuple(sum(tests / total * deviations[place] for tests, deviations in seasons) for place in range(BINS))


def _place_of(days: Days) -> tuple[NDArray[np.intp], NDArray[np.intp], Matrix]:
    """The two half-months whose midpoints enclose each day, and the weight of the second."""
    place = np.asarray(days) * (BINS / YEAR) - 0.5
    below = np.floor(place)
    first = below.astype(np.intp) % BINS
    return first, (first + 1) % BINS, place - below


def basis(days: Days) -> Matrix:
    """The weight of each half-month in the season on each day."""
    below, above, share = _place_of(days)
    found = np.zeros((len(share), BINS))
    row = np.arange(len(share))
    found[row, below], found[row, above] = 1.0 - share, share
    return found


def at_day(season: Season, day: float) -> float:
    """Return the deviation of fuel delivered on a day since 1970-01-01 UTC, %: linear between half-months."""
    place = day * (BINS / YEAR) - 0.5
    below = floor(place)
    share = place - below
    return (1.0 - share) * season.deviations[below % BINS] + share * season.deviations[(below + 1) % BINS]


def met_at(season: Season, days: Days) -> Matrix:
    """Return the deviations of fuel sampled on some days, %."""
    below, above, share = _place_of(np.asarray(days) - AGE)
    deviations = np.array(season.deviations)
    found: Matrix = (1.0 - share) * deviations[below] + share * deviations[above]
    return found


def aged_at(season: Season, days: Days) -> Matrix:
    """Return the standard deviation, %, of fuel sampled on some days because its age is anything up to twice `AGE`."""
    at = np.asarray(days)
    return np.abs(met_at(season, at + AGE) - met_at(season, at - AGE)) / sqrt(12.0)


def unknown_of(season: Season, days: Days, weights: Days, now_day: float) -> tuple[float, float]:
    """Return two variances, %^2, that the uncertain season adds: to a level and to a scatter.

    The first is of the season now minus its weighted mean over visits, the second the mean variance of the season at
    visits about that mean. The first includes the uncertainty of `AGE`, which shifts the season in time.
    """
    every = basis(np.concatenate([np.asarray(days) - AGE, [now_day]]))
    place, share = every[:-1], np.asarray(weights) / np.sum(weights)
    covariance, mean = np.array(season.covariance), share @ place
    contrast = every[-1] - mean
    shifted = AGE_UNCERTAINTY / AGE * (at_day(season, now_day) - at_day(season, now_day - AGE))
    blurred = float(((place.T * share) @ place * covariance).sum() - mean @ covariance @ mean)
    # Rounding of the covariance can make these negative.
    return max(0.0, float(contrast @ covariance @ contrast)) + shifted**2, max(0.0, blurred)


def cells_of(contents: Mapping[str, Sequence[tuple[float, float, float]]]) -> list[Cell]:
    """Return the source means of (day, content, standard uncertainty); each year has its own cells."""
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
