"""The spread of tubes' offsets against the same model by its covariance, and against simulated tubes."""

import numpy as np
import pytest
from scipy import integrate, linalg, stats

from splitline.statistics.instrument_bias import Reading, spread_of


def readings(random: np.random.Generator, spread: float, people: int, sources: int) -> list[Reading]:
    """Each source is tested by one to four people, one to six times each."""
    offset = random.normal(0.0, spread, people)
    found = []
    for source in range(sources):
        level = random.normal(76.0, 3.0)
        for who in random.choice(people, min(people, int(random.integers(1, 5))), replace=False):
            for _ in range(random.integers(1, 7)):
                unsure = float(random.uniform(0.7, 2.5))
                content = level + offset[who] + unsure * random.normal()
                found.append(Reading(f"s{source}", f"p{who}", float(content), unsure))
    return found


def dummies(values: list[str]) -> np.ndarray:
    """One column per name, with 1 where a reading has it."""
    return np.array([[float(value == name) for name in sorted(set(values))] for value in values])


def by_covariance(told: list[Reading], usual: float) -> float:
    """The posterior mean of the logarithm by Simpson's rule, from the density of all contrasts between readings of one
    source, which do not depend on the levels.

    Stated uncertainties are scaled by the residuals of a regression on source and tube, of prior 4 squares.
    """
    content, weight = np.array([one.deviation for one in told]), np.array([1.0 / one.uncertainty for one in told])
    both = dummies([f"{one.source} {one.tube}" for one in told])
    left = content - both @ np.linalg.lstsq(both * weight[:, None], content * weight, rcond=None)[0]
    scale = (4.0 + ((left * weight) ** 2).sum()) / (4.0 + len(told) - both.shape[1])
    contrasts = linalg.null_space(dummies([one.source for one in told]).T).T
    tube, places = dummies([one.tube for one in told]), np.linspace(-3.0, 3.0, 121)
    logs = []
    for place in places:
        whole = scale * np.diag(weight**-2.0) + (usual * np.exp(place)) ** 2 * tube @ tube.T
        density = stats.multivariate_normal.logpdf(contrasts @ content, cov=contrasts @ whole @ contrasts.T)
        logs.append(density - np.log(np.cosh(place)))
    density = np.exp(np.array(logs) - max(logs))
    return usual * float(np.exp(integrate.simpson(density * places, x=places) / integrate.simpson(density, x=places)))


@pytest.mark.parametrize(("seed", "spread"), [(1, 0.0), (2, 0.7), (3, 2.5)])
def test_the_spread_agrees_with_the_density_of_all_contrasts(seed: int, spread: float):
    told = readings(np.random.default_rng(seed), spread, people=6, sources=8)
    assert spread_of(told, 0.7) == pytest.approx(by_covariance(told, 0.7), rel=0.01)


@pytest.mark.parametrize("spread", [0.3, 0.7, 1.5, 3.0])
def test_the_spread_of_simulated_tubes_is_found(spread: float):
    """17 people at 40 sources; the standard deviation of so few is itself uncertain by a sixth."""
    found = [spread_of(readings(np.random.default_rng(seed), spread, 17, 40), 0.7) for seed in range(20)]
    assert np.median(found) == pytest.approx(spread, rel=0.15)


def test_without_others_at_a_source_the_usual_spread_stays():
    told = readings(np.random.default_rng(1), 2.0, 6, 8)
    alone = [one for one in told if one.tube == "p1"]
    assert spread_of(alone, 0.7) == pytest.approx(0.7, rel=1e-12)
    assert spread_of([], 0.7) == pytest.approx(0.7, rel=1e-12)
