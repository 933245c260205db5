"""The season and the estimator's likelihood against the same models computed by other methods."""

from itertools import product
from statistics import NormalDist

import numpy as np
import pytest
from scipy import integrate, stats

from splitline.statistics import normal, season
from splitline.statistics.posterior import WRONG, WRONG_BY
from splitline.statistics.season import BENDS, BINS, SCATTERS, UNSEEN_BEND, USUAL_BEND, Cell, season_of_cells
from splitline.statistics.steadiness import estimate
from splitline.statistics.visits import Visit, weights_of

YEAR = 365.2425
AGE = 10 * ((1 + 0.5**2) / 2 + 0.15 / 0.85)
"""Days: deliveries are ten days apart, give or take five, visits come at any moment, 15 % of a tank is older."""


def test_the_normal_distribution_agrees_with_scipy_and_the_standard_library():
    """Abramowitz and Stegun give 7.5e-8 for the formula."""
    deviations = np.linspace(-30, 30, 1201)
    for spread in (0.3, 1.0, 7.0):
        reached, dense = normal.distribution_and_density(deviations, np.full(1201, spread))
        assert np.abs(reached - stats.norm.cdf(deviations, scale=spread)).max() < 7.6e-8
        assert dense == pytest.approx(stats.norm.pdf(deviations, scale=spread), rel=1e-12)
    for probability in (0.001, 0.005, 0.05, 0.5, 0.8, 0.995, 0.999):
        assert normal.quantile(probability) == pytest.approx(NormalDist().inv_cdf(probability), abs=3e-5)


def drawn(seed: int, sources: int, each: int, days: float = 400.0) -> list[Cell]:
    """Cells whose deliveries scatter by less than two standard deviations, so that all have full weight."""
    random = np.random.default_rng(seed)
    found = []
    for number in range(sources):
        level = random.normal(75, 3)
        for day in sorted(random.uniform(20000, 20000 + days, each)):
            content = level + 3 * np.cos(2 * np.pi * day / YEAR) + random.uniform(-0.8, 0.8)
            found.append(Cell(f"s{number}", float(day), float(content), float(random.uniform(0.5, 0.9))))
    return found


def walk(bend: float, seen: set[int]) -> np.ndarray:
    """The covariance of a season with these second differences; free ones where nobody saw any of the three."""
    precision = np.ones((BINS, BINS))
    for k in range(BINS):
        three = [k, (k + 1) % BINS, (k + 2) % BINS]
        second = np.zeros(BINS)
        second[three] = 1.0, -2.0, 1.0
        size = UNSEEN_BEND if len(seen) >= 12 and not seen & set(three) else bend
        precision += np.outer(second, second) / size**2
    return np.linalg.inv(precision)


def by_regression(cells: list[Cell], around: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of the season by Gaussian regression over the cells.

    Levels are fixed effects; likelihoods are those of the residuals (REML), from the covariance of the cells.
    """
    design = np.array([[float(cell.source == name) for name in sorted({c.source for c in cells})] for cell in cells])
    place = np.zeros((len(cells), BINS))
    for row, cell in enumerate(cells):
        at = ((cell.day - AGE) / YEAR) % 1.0 * BINS - 0.5
        for bin_, share in ((int(np.floor(at)), 1 - (at - np.floor(at))), (int(np.floor(at)) + 1, at - np.floor(at))):
            place[row, bin_ % BINS] += share
    told = np.array([cell.content for cell in cells]) - place @ around
    found = []
    for bend, scatter in product(BENDS, SCATTERS):
        prior = walk(bend, set(np.flatnonzero(place.sum(axis=0)).tolist()))
        whole = place @ prior @ place.T + np.diag([scatter**2 + cell.variance for cell in cells])
        inner = design.T @ np.linalg.solve(whole, design)
        inverse = np.linalg.inv(whole)
        left = inverse - inverse @ design @ np.linalg.solve(inner, design.T @ inverse)
        likelihood = -0.5 * (np.linalg.slogdet(whole)[1] + np.linalg.slogdet(inner)[1] + told @ left @ told)
        spread = prior @ place.T
        found.append(
            (
                likelihood + np.log(bend) - 0.5 * (bend / USUAL_BEND) ** 2,
                spread @ left @ told,
                prior - spread @ left @ spread.T,
            )
        )
    share = np.exp(np.array([one[0] for one in found]) - max(one[0] for one in found))
    share /= share.sum()
    mean = sum(weight * one[1] for weight, one in zip(share, found, strict=True))
    covariance = sum(
        weight * (one[2] + np.outer(one[1] - mean, one[1] - mean)) for weight, one in zip(share, found, strict=True)
    )
    return around + mean, covariance


@pytest.mark.parametrize(
    ("seed", "sources", "each", "days"),
    [(1, 1, 5, 400), (2, 4, 9, 400), (3, 12, 14, 400), (4, 6, 12, 200), (5, 6, 9, 90)],
)
def test_the_season_agrees_with_a_gaussian_regression(seed: int, sources: int, each: int, days: float):
    cells = drawn(seed, sources, each, days)
    around = np.random.default_rng(seed).normal(0, 1, BINS)
    found = season_of_cells(cells, tuple(around))
    mean, covariance = by_regression(cells, around)
    assert found.deviations == pytest.approx(mean - mean.mean(), abs=1e-9)
    apart = np.eye(BINS) - 1.0 / BINS
    assert np.abs(apart @ (np.array(found.covariance) - covariance) @ apart).max() < 1e-9


def test_a_fall_that_is_still_going_on_is_not_pulled_up():
    """Flat for five months, then eight points down in two, at three stations. Fuel of today is eight days newer than
    the fuel of the last visits.
    """
    off, held = [], 0
    for seed in range(40):
        random, cells = np.random.default_rng(seed), []
        for number in range(3):
            level = random.normal(75, 3)
            for day in sorted(random.uniform(20200, 20400, 15)):
                content = level + float(np.interp(day - AGE, [20340, 20400], [0, -8])) + random.normal(0, 1.3)
                cells.append(Cell(f"s{number}", float(day), content, 0.7))
        found = season_of_cells(cells)
        now, summer = season.basis([20400.0, 20300.0])
        off.append(float((now - summer) @ found.deviations) + 8.0)
        held += abs(off[-1]) <= 1.645 * np.sqrt((now - summer) @ found.covariance @ (now - summer))
    assert abs(np.mean(off)) < 1.0
    assert held >= 0.8 * len(off)


def test_cells_far_from_the_season_count_less():
    cells = drawn(4, 6, 12)
    spoilt = [*cells[:5], Cell(cells[5].source, cells[5].day, cells[5].content + 30.0, cells[5].variance), *cells[6:]]
    plain, found = np.array(season_of_cells(cells).deviations), np.array(season_of_cells(spoilt).deviations)
    whole = by_regression(spoilt, np.zeros(BINS))[0]
    assert np.linalg.norm(found - plain) < np.linalg.norm(whole - whole.mean() - plain) / 3


def test_a_level_gets_the_seasons_variance_of_a_difference():
    """It is nothing at the same time of the year, but for how old the fuel was: anything up to twice the usual."""
    found = season_of_cells(drawn(5, 8, 12))
    draws = np.random.default_rng(1).multivariate_normal(np.zeros(BINS), found.covariance, 200_000)
    middle = (np.array([3, 9]) + 0.5) / BINS * YEAR
    step = found.deviations[9] - found.deviations[8]
    of_age = (step / (YEAR / BINS)) ** 2 * stats.uniform(0, 2 * AGE).var()
    simulated = float((draws[:, 9] - draws[:, 3]).var()) + of_age
    assert season.unknown_of(found, [middle[0] + AGE], [1.0], middle[1])[0] == pytest.approx(simulated, rel=0.02)
    assert season.unknown_of(found, [middle[1] + AGE], [1.0], middle[1] + YEAR)[0] == pytest.approx(of_age, rel=1e-6)


def steep() -> season.Season:
    """A season that falls by eight points in October and rises in April, known exactly."""
    middles = (np.arange(BINS) + 0.5) / BINS * YEAR
    known = np.interp(middles, [90, 120, 273, 303], [-4, 4, 4, -4])
    return season.Season(tuple(known), ((0.0,) * BINS,) * BINS)


def test_fuel_of_any_age_scatters_where_the_season_is_steep():
    """Its standard deviation is that of the season over ages up to sixteen days; here the season falls, then rises."""
    slopes = season.Season(tuple(np.abs(np.arange(BINS) - 12.0)), ((0.0,) * BINS,) * BINS)
    day = YEAR * 56.3
    met = np.std(season.met_at(slopes, day + AGE - np.random.default_rng(2).uniform(0, 2 * AGE, 200_000)))
    assert season.aged_at(slopes, [day, day + YEAR / 2])[:2] == pytest.approx(met, rel=0.01)
    assert season.aged_at(season.Season((1.0,) * BINS, slopes.covariance), [day]) == [0.0]


def test_a_steady_station_stays_steady_where_the_season_is_steep():
    """Deliveries scatter by 0.3 points; the tests of a month are of fuel between new and sixteen days old."""
    inside = 0
    for seed in range(30):
        random = np.random.default_rng(seed)
        days = YEAR * 56 + 15.0 * np.arange(24)
        fuel = season.met_at(steep(), days + AGE - random.uniform(0, 2 * AGE, 24)) + random.normal(75, 0.3, 24)
        told = [
            Visit(float(day), float(content), 0.5, 0.0, "abcd"[k % 4])
            for k, (day, content) in enumerate(zip(days, fuel + random.normal(0, 0.5, 24), strict=True))
        ]
        found = estimate(told, float(days[-1]), steep())
        assert found is not None
        inside += found.tau_interval[0] <= 0.3
    assert inside >= 27


def test_what_a_scatter_inherits_is_the_mean_variance_around_the_mean_of_the_visits():
    found = season_of_cells(drawn(5, 8, 12))
    draws = np.random.default_rng(1).multivariate_normal(np.zeros(BINS), found.covariance, 100_000)
    places, weights = [3, 9, 17], np.array([0.5, 0.3, 0.2])
    met = draws[:, places]
    simulated = float(((met - (met @ weights)[:, None]) ** 2 @ weights).mean())
    days = (np.array(places) + 0.5) / BINS * YEAR + AGE
    assert season.unknown_of(found, days, 7.0 * weights, 0.0)[1] == pytest.approx(simulated, rel=0.02)


def visits(*contents: float) -> list[Visit]:
    """A visit every three weeks by four people in turn: each has full weight, and nothing is shared."""
    return [Visit(20000.0 + 21 * k, content, 0.9, 1e-9, "abcd"[k % 4]) for k, content in enumerate(contents)]


def density(content: float, level: float, tau: float) -> tuple[float, float]:
    """Of a reading, and of it as a wrong one."""
    wrong = WRONG * stats.cauchy.pdf(content, level, WRONG_BY)
    return (1 - WRONG) * stats.norm.pdf(content, level, np.hypot(0.9, tau)) + wrong, wrong


@pytest.mark.parametrize(
    "contents",
    [(75.0, 76.2, 74.1, 75.5), (75, 76.2, 74.1, 75.5, 74.4, 58, 75.2, 76), (80, 71, 77, 84, 69, 75, 78, 72, 81, 74)],
)
def test_figures_agree_with_numerical_integration(contents: tuple[float, ...]):
    """Simpson's rule on 1201 levels and 301 scatters, without the estimator's grid or its interpolation."""
    told = visits(*contents)
    assert weights_of(told) == pytest.approx([1.0] * len(told))
    level, log_tau = np.linspace(40, 110, 1201)[:, None], np.linspace(np.log(0.05), np.log(20), 301)
    tau, scale = np.exp(log_tau), 2.0 * np.exp(-0.15)
    each = [density(visit.content, level, tau) for visit in told]
    posterior = np.prod([one[0] for one in each], axis=0) * (tau / (1 + (tau / scale) ** 2)) ** 1.5

    def mean(values: np.ndarray) -> float:
        return float(integrate.simpson(integrate.simpson(values * posterior, x=log_tau), x=level[:, 0]))

    whole = mean(np.ones_like(posterior))
    found = estimate(told, 0.0)
    assert found is not None
    assert found.typical == pytest.approx(mean(level + 0 * tau) / whole, abs=0.05)
    # Deliveries scatter more than what is met, as the tank holds 0 to 30 % of older ones.
    reached = [mean((tau <= bound) + 0 * level) / whole for bound in tau[1:]]
    left = np.linspace(0.0, 0.3, 31)
    of_deliveries = np.mean([np.interp(tau / np.sqrt((1 + h) / (1 - h)), tau[1:], reached) for h in left], axis=0)
    wanted = [(0.05, found.tau_interval[0]), (0.5, found.tau), (0.8, found.tau_bound), (0.95, found.tau_interval[1])]
    wide = found.tau_interval[1] - found.tau_interval[0]
    for at, bound in wanted:
        assert bound == pytest.approx(np.interp(at, of_deliveries, tau), abs=0.04 * wide)
    for end, at in zip(found.typical_interval, (0.05, 0.95), strict=True):
        assert mean((level <= end) + 0 * tau) / whole == pytest.approx(at, abs=0.02)
    for end, at in zip(found.next_fill, (0.05, 0.95), strict=True):
        assert mean(stats.norm.cdf(end, level, tau)) / whole == pytest.approx(at, abs=0.01)
    doubts = [mean(wrong / both) / whole for both, wrong in each]
    assert [k for k, doubt in enumerate(doubts) if doubt > 0.5] == list(found.wrong)
