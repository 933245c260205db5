"""The estimator of steadiness against published examples and simulated regions."""

from math import log, sqrt

import numpy as np
import pytest

from helpers.published import published
from splitline.statistics.changepoint import changes_of
from splitline.statistics.steadiness import estimate
from splitline.statistics.visits import Visit
from steadiness_study import SEED
from study.cells import CELLS
from study.judged import published as figures_published
from study.score import summary, unit
from study.world import Reading, Region, World, region

PRINTED = published("statistics")
STEADIER = sqrt((1 - 0.15) / (1 + 0.15))
"""How far the fuel in a tank scatters, as a share of how far deliveries do, where 15 % of it is older."""


def test_certified_variance_components_are_reproduced():
    """NIST StRD, SiRstv: five instruments, certified mean squares; in units of 0.01, the size of percentage points.

    The certified between-instrument part (MSB - MSW)/5 is in tau's interval, the grand mean in the level's.
    """
    groups = np.array(PRINTED["anova_sirstv"]["groups"]) * 100
    certified = PRINTED["anova_sirstv"]["certified"]["value"]
    within = sqrt(certified["ms_within"] / 5) * 100
    between = sqrt((certified["ms_between"] - certified["ms_within"]) / 5) * 100
    found = estimate([Visit(30.0 * k, float(g.mean()), within, 0.01, str(k)) for k, g in enumerate(groups)], 0.0)
    assert found.tau_interval[0] * STEADIER < between < found.tau_interval[1] * STEADIER
    assert found.typical_interval[0] < groups.mean() < found.typical_interval[1]
    assert found.typical == pytest.approx(groups.mean(), abs=within / 2)


def test_a_published_random_effects_example_is_reproduced():
    """BCG trials, random effects as printed in the metafor test suite against Stata: -0.7141, tau^2 0.3088."""
    visits = []
    for k, table in enumerate(PRINTED["random_effects_dl"]["tables"]):
        (a, b), (c, d) = table["treated"], table["control"]
        variance = 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d)
        visits.append(Visit(30.0 * k, log(a / (a + b)) - log(c / (c + d)), sqrt(variance), 0.001, str(k)))
    found = estimate(visits, 0.0, prior_scale=0.5)
    assert found.typical == pytest.approx(PRINTED["random_effects_dl"]["random"]["value"]["log_rr"], abs=0.1)
    tau = sqrt(PRINTED["random_effects_dl"]["tau2"]["value"])
    assert found.tau_interval[0] * STEADIER < tau < found.tau_interval[1] * STEADIER
    assert found.tau * STEADIER == pytest.approx(tau, rel=0.25)


@pytest.mark.parametrize("name", ["individuals_chart", "ewma"])
def test_published_in_control_processes_have_no_change(name: str):
    """NIST/SEMATECH e-Handbook, sections 6.3.2.2 and 6.3.2.4: both examples are in control."""
    assert PRINTED[name]["answer"]["value"]["in_control"]
    assert changes_of(PRINTED[name]["data"], 0.5) == []


def test_a_step_is_dated_and_a_gross_error_is_not_a_step():
    """A step of three standard deviations after 20 of 40 readings (our own simulation, fixed seed)."""
    random = np.random.default_rng(3)
    values = [*random.normal(0, 1, 20), *random.normal(3, 1, 20)]
    (change,) = changes_of(values, 0.5)
    assert change.direction == "up"
    assert abs(change.index - 20) <= 2
    steady = list(random.normal(0, 1, 40))
    steady[25] = 40.0
    assert changes_of(steady, 0.5) == []


def figures(cell: str, seed: int = SEED, regions: int = 8) -> dict[str, float]:
    return summary([unit(CELLS[cell], cell, seed, number) for number in range(regions)])


@pytest.mark.parametrize("seed", [SEED, 77])
def test_intervals_cover_and_steady_stations_are_found(seed: int):
    """320 stations of the study's ordinary regions. The shares vary by 1.5 to 3 % (standard error) between seeds."""
    found = figures("ordinary", seed)
    assert 0.85 <= found["typical"] <= 0.97
    assert 0.84 <= found["next_fill"] <= 0.97
    assert 0.87 <= found["tau"] <= 0.98
    assert found["rank"] > 0.55


def test_changes_are_found_with_few_false_alarms():
    """A step of 5 points a year ago; tests come once a month, two or three deliveries later each time."""
    found = figures("step-monthly")
    assert found["found"] >= 0.7
    assert found["false"] < 0.05


def test_gross_errors_do_not_break_the_estimate():
    """One test in 20 is grossly wrong, in four of five ways by 3 points or more."""
    found = figures("gross-5")
    assert found["typical"] > 0.85
    assert found["next_fill"] > 0.85
    assert found["off"] < 1.0


def test_one_contributor_cannot_decide_a_source():
    """With three or more people, one who reads 6 points off moves 19 sources in 20 by at most a third of that.

    The rest are sources with very few visits, where one person has a third of the readings.
    """
    drawn = region(np.random.default_rng(SEED), World(sources=60, people=(3, 5), visits=(4, 22)))
    moved = [by for who in ("p0", "p1", "p2", "p3") for by in _moved_by(drawn, who, 6.0)]
    assert len(moved) > 30
    assert np.quantile(moved, 0.95) <= 1 / 3
    assert max(moved) <= 1 / 2


def _moved_by(drawn: Region, who: str, error: float) -> list[float]:
    """How much of one contributor's error reaches the typical content of sources where two others tested too."""
    right = {name: source.readings for name, source in drawn.sources.items()}
    wrong = {name: [_off(r, error) if r.contributor == who else r for r in of_one] for name, of_one in right.items()}
    before, after = figures_published(right, drawn.day), figures_published(wrong, drawn.day)
    people = {name: {reading.contributor for reading in of_one} for name, of_one in right.items()}
    shared = [name for name, names in people.items() if who in names and len(names) >= 3]
    return [abs(after[name].typical - before[name].typical) / error for name in shared]


def _off(reading: Reading, error: float) -> Reading:
    return reading._replace(content=reading.content + error)
