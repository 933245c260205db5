"""Combines the runs of a test: whether they agree, their mean or median, and its uncertainty (JCGM 100)."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.components import Components, averaged
from splitline.chemistry.coverage import GAUSSIAN, coverage_factor
from splitline.chemistry.polynomial import Array
from splitline.chemistry.runs import Runs

# Two results of one person differ by more than this many standard uncertainties once in twenty (ISO 5725-6).
REPEATABILITY = 2.8
# The same for the highest and the lowest of 0 to 9 results, which are further apart the more there are (ISO 5725-6,
# table of critical range factors; 95 % of the studentised range). One result has no range.
CRITICAL_RANGE = np.array([2.8, 2.8, 2.8, 3.3, 3.6, 3.9, 4.0, 4.2, 4.3, 4.4])
# Variance of a median relative to that of a mean, for many normal values: pi / 2.
MEDIAN_VARIANCE = 1.5707963267948966


@dataclass(frozen=True, slots=True)
class Combined:
    """Each test's content and uncertainties, %, as in `budget.Figures`, and their components.

    repeatability_limit: %. agree: whether the runs are within the critical range for their number. weights: of the
    runs, 0 for one that does not count. components: of the content. scatter: standard uncertainty, %, of the runs
    beyond what their components explain.
    """

    content: Array
    expanded_uncertainty: Array
    own_uncertainty: Array
    shared_uncertainty: Array
    coverage_factor: Array
    repeatability_limit: Array
    agree: NDArray[np.bool_]
    weights: Array
    components: Components
    scatter: Array


def combine(runs: Runs, content: Array, parts: Components) -> Combined:
    """Combine each test's runs: u^2 = u_shared^2 + u_own^2 / n, the median where the runs disagree.

    Runs in different tubes may also differ because the tubes do: that is shared, not scatter.

    u_own is the larger of the budget and the scatter. Scatter beyond the budget counts as a component of its own with n
    - 1 degrees of freedom, so that the coverage factor does not jump where the two are equal. Of two runs that
    contradict each other either may be right: the standard deviation of that is half their difference.
    """
    count, several, of_mean = runs.count, runs.count >= 3, averaged(runs, parts)
    budget = np.sqrt(of_mean.variance("run") * count)
    between = _between_tubes(runs, parts)
    limit = CRITICAL_RANGE[count.astype(np.intp)] * np.sqrt(budget**2 + between)
    agree = _spread(runs, content) <= np.where(limit > 0.0, limit, np.inf)
    own_of_one = np.where(several | ~agree, np.maximum(budget, _deviation(runs, content, between)), budget)
    every = agree | ~several
    weights = np.ones_like(content) if every.all() else np.where(every[runs.test], 1.0, _in_the_middle(runs, content))
    widening = np.where(every, 1.0, MEDIAN_VARIANCE)
    own = own_of_one * np.sqrt(widening / count)
    scatter = np.sqrt((widening * own_of_one**2 - budget**2) / count)
    factor = coverage_factor(
        np.vstack([np.abs(of_mean.effect), scatter]),
        np.vstack([of_mean.kurtosis, np.full_like(scatter, GAUSSIAN)]),
        np.vstack([np.full_like(of_mean.effect, np.inf), np.where(several, count - 1.0, np.inf)]),
    )
    shared = np.sqrt(of_mean.variance("tube", "all"))
    return Combined(
        content=runs.mean(content, weights),
        expanded_uncertainty=factor * np.sqrt(own**2 + shared**2),
        own_uncertainty=own,
        shared_uncertainty=shared,
        coverage_factor=factor,
        repeatability_limit=REPEATABILITY * own_of_one,
        agree=agree,
        weights=weights,
        components=of_mean,
        scatter=scatter,
    )


def _between_tubes(runs: Runs, parts: Components) -> Array:
    """The mean variance of a content from effects shared within a tube, for tests with several tubes; otherwise 0."""
    if len(runs.tubes.scale) == len(runs.count):
        return np.zeros_like(runs.count)
    several = np.minimum.reduceat(runs.tube, runs.first) < np.maximum.reduceat(runs.tube, runs.first)
    return np.where(several, runs.mean(parts.variance("tube")), 0.0)


def _spread(runs: Runs, content: Array) -> Array:
    return np.maximum.reduceat(content, runs.first) - np.minimum.reduceat(content, runs.first)


def _deviation(runs: Runs, content: Array, between: Array) -> Array:
    """The standard deviation of each test's contents, minus the variance between its tubes; 0 for a single run."""
    off = content - runs.mean(content)[runs.test]
    variance = runs.mean(off**2) * runs.count / np.maximum(runs.count - 1.0, 1.0)
    return np.sqrt(np.maximum(variance - between, 0.0))


def _in_the_middle(runs: Runs, content: Array) -> NDArray[np.bool_]:
    """Whether a run is the middle one of its test, or one of the two middle ones."""
    place = np.empty_like(runs.test)
    place[np.lexsort((content, runs.test))] = np.arange(len(place))
    place, count = place - runs.first[runs.test], runs.count[runs.test]
    return ((count - 1.0) // 2.0 <= place) & (place <= count // 2.0)
