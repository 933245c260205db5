"""The estimator of steadiness against published examples and simulated regions."""

from math import log, sqrt

import numpy as np
import pytest

import steadiness_study as study
from published import published
from splitline.statistics.change import changes_of
from splitline.statistics.steadiness import estimate
from splitline.statistics.visits import Visit

PRINTED = published("statistics")


def test_variance_parts_of_a_certified_analysis_of_variance():
    """NIST StRD, SiRstv: five instruments, certified mean squares; in units of 0.01, so as to be as points of % are.

    The certified between-instrument part (MSB - MSW)/5 lies in the interval of tau, the grand mean in the level's.
    """
    groups = np.array(PRINTED["anova_sirstv"]["groups"]) * 100
    certified = PRINTED["anova_sirstv"]["certified"]["value"]
    within = sqrt(certified["ms_within"] / 5) * 100
    between = sqrt((certified["ms_between"] - certified["ms_within"]) / 5) * 100
    found = estimate([Visit(k, float(g.mean()), within, 0.01, str(k)) for k, g in enumerate(groups)], 0.0)
    assert found.tau_interval[0] < between < found.tau_interval[1]
    assert found.typical_interval[0] < groups.mean() < found.typical_interval[1]
    assert found.typical == pytest.approx(groups.mean(), abs=within / 2)


def test_a_published_random_effects_example():
    """BCG trials, random effects as printed in the metafor test suite against Stata: -0.7141, tau^2 0.3088."""
    visits = []
    for k, table in enumerate(PRINTED["random_effects_dl"]["tables"]):
        (a, b), (c, d) = table["treated"], table["control"]
        variance = 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d)
        visits.append(Visit(float(k), log(a / (a + b)) - log(c / (c + d)), sqrt(variance), 0.001, str(k)))
    found = estimate(visits, 0.0, prior_scale=0.5)
    assert found.typical == pytest.approx(PRINTED["random_effects_dl"]["random"]["value"]["log_rr"], abs=0.1)
    tau = sqrt(PRINTED["random_effects_dl"]["tau2"]["value"])
    assert found.tau_interval[0] < tau < found.tau_interval[1]
    assert found.tau == pytest.approx(tau, rel=0.25)


@pytest.mark.parametrize("name", ["individuals_chart", "ewma"])
def test_a_process_that_is_printed_as_in_control_has_no_change(name: str):
    """NIST/SEMATECH e-Handbook, sections 6.3.2.2 and 6.3.2.4: both examples are in control."""
    assert PRINTED[name]["answer"]["value"]["in_control"]
    assert changes_of(PRINTED[name]["data"], 0.5) == []


def test_a_step_is_dated_and_a_single_gross_error_is_none():
    """A step of three standard deviations after 20 of 40 (scipy-free arithmetic of our own, seed fixed)."""
    random = np.random.default_rng(3)
    values = [*random.normal(0, 1, 20), *random.normal(3, 1, 20)]
    (change,) = changes_of(values, 0.5)
    assert change.direction == "up"
    assert abs(change.index - 20) <= 2
    steady = list(random.normal(0, 1, 40))
    steady[25] = 40.0
    assert changes_of(steady, 0.5) == []


@pytest.mark.parametrize("seed", [study.SEED, 77])
def test_the_intervals_hold_and_the_steady_are_found(seed: int):
    """500 simulated sources with season, noise and 4 to 21 visits: 90 % intervals hold 85 to 96 % of the time.

    Those of the scatter hold more often: visits that might have met one delivery, and those of whoever came most, count
    less, and here each met its own.
    """
    drawn = study.simulate(np.random.default_rng(seed), 500)
    found = study.judge(drawn)
    assert 0.85 <= found.tau_coverage <= 0.985
    assert 0.85 <= found.typical_coverage <= 0.96
    assert 0.85 <= found.next_fill_coverage <= 0.95
    assert found.rank_correlation > 0.75


def test_a_change_is_told_and_hardly_ever_where_there_is_none():
    """Ten simulated regions of 20 sources; visits that meet one delivery are no separate witnesses."""
    told = study.told_changes(np.random.default_rng(study.SEED), 10, 20, -5.0)
    assert told.wrongly < 0.1
    assert told.rightly >= 0.8


def test_gross_errors_do_not_break_it():
    found = study.judge(study.simulate(np.random.default_rng(study.SEED), 300, gross=0.05))
    assert found.typical_coverage > 0.85
    assert found.rank_correlation > 0.6
    assert found.typical_error < 0.7


def test_one_contributor_cannot_decide_a_source():
    """Of three or more people, one who reads 6 points off moves 19 sources in 20 by no more than a third of that.

    The rest are sources of very few visits, where a third of the readings is all that there is to go by.
    """
    moved = study.influence(np.random.default_rng(study.SEED), 200, 6.0)
    assert len(moved) > 50
    assert np.quantile(moved, 0.95) <= 1 / 3
    assert max(moved) <= 1 / 2
