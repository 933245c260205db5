"""The uncertainty of a result against Monte Carlo from marks, temperatures and masses (JCGM 101).

The world (`tube_world.py`) shares nothing with the product. From three runs on a large scatter widens U on purpose, so
the ratio takes the U of an ordinary test, the median. Coverage counts every test with its own U.
"""

import gc
from collections.abc import Iterator
from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from uncertainties import ufloat, wrap

from helpers.published import published, rows
from outside.readings import Judged, judged, measurements
from outside.tube_world import (
    FUEL_WATER,
    GUESS,
    RATIOS,
    SOURCES,
    Trial,
    content_of,
    density,
    exchange,
    lines_seen,
    printed,
)
from splitline.chemistry.budget import Figures, result, results
from splitline.chemistry.exchange import Exchange
from splitline.chemistry.measurement import Measurement, Run, Tube

DRAWS = 8000
# Graduations of 100 mL tubes for about equally certain readings, mL: nobody reads 10 mL of fuel to half a millilitre.
STEPS = {"1:1": 1.0, "3:1": 0.5, "9:1": 0.2}


@pytest.fixture(scope="module", autouse=True)
def uncollected() -> Iterator[None]:
    """Without the search for reference cycles: the million measurements have none, and it takes long."""
    gc.disable()
    yield
    gc.enable()


def noise(draws: int) -> float:
    """Return the chance variation of a coverage of 95 %: three standard deviations of a binomial share."""
    return 3.0 * sqrt(0.95 * 0.05 / draws)


def check(found: Judged, what: object) -> None:
    draws = len(found.error)
    assert found.ratio == pytest.approx(1, abs=0.05), what
    assert 0.94 - noise(draws) <= found.coverage <= 0.96 + noise(draws), what


def test_the_simulated_densities_are_the_printed_ones():
    """Osborne, McKelvy and Bearce (1913) and Perry's Handbook: 0.15 kg/m3; pure ethanol by OIML R 22 789.24."""
    table = rows(published("density")["nbs"]) + rows(published("density")["perry"])
    for mass_percent, temperature, grams in table:
        assert density(mass_percent / 100, temperature) == pytest.approx(1000 * grams, abs=0.15)
    assert density(1.0, 20.0) == pytest.approx(789.24, abs=0.005)


@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("content", [10, 30, 50, 70, 85, 95])
def test_the_whole_budget_agrees_with_monte_carlo(content: int, ratio: str):
    """1 to 5 runs: U within 5 % of the half-width that contains 95 %; 94 to 96 % of the intervals contain the truth."""
    trial = Trial(content, ratio, step=STEPS[ratio], filled=(20.0, 20.0))
    found = [judged(replace(trial, runs=runs), DRAWS) for runs in (1, 2, 3, 4, 5)]
    for runs, one in enumerate(found, start=1):
        check(one, runs)
        assert abs(one.error.mean()) < 0.05
    assert 0.94 <= np.mean([one.coverage for one in found]) <= 0.96


@pytest.mark.parametrize("runs", [1, 3])
@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("trial", [Trial(83, read=18.0), Trial(40, "3:1", step=0.5), Trial(60, "9:1", step=0.2)])
def test_each_component_alone_agrees_with_monte_carlo(trial: Trial, source: str, runs: int):
    """The marks are off by up to 0.1 mL until weighed; the tube's temperature was measured, the filling's was not."""
    weighed = source == "calibration"
    trial = replace(trial, runs=runs, tolerance=0.1, weighed=weighed, filled=(15.0, 12.0), filled_thermometer=True)
    check(judged(trial, DRAWS // 2, (source,)), source)


def test_components_added_one_by_one_agree_with_monte_carlo():
    trial = Trial(70, runs=2, tolerance=0.5, filled=(15.0, 12.0), read=18.0)
    for count in range(1, len(SOURCES)):
        check(judged(trial, DRAWS, SOURCES[:count]), SOURCES[:count])


@pytest.mark.parametrize("runs", [2, 3, 4, 5])
def test_runs_in_two_tubes_agree_with_monte_carlo(runs: int):
    """Marks good to 1 mL, the largest component; a second tube's marks have other errors."""
    check(judged(Trial(85, tolerance=1.0, tubes=2, runs=runs, filled=(20.0, 20.0)), DRAWS), runs)


@pytest.mark.parametrize("runs", [2, 3])
def test_runs_in_two_weighed_tubes_agree_with_monte_carlo(runs: int):
    check(judged(Trial(85, weighed=True, tubes=2, runs=runs, filled=(20.0, 20.0)), DRAWS // 4), runs)


@pytest.mark.parametrize("runs", [1, 3])
@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("thermometer", [False, True])
@pytest.mark.parametrize("filled", [None, (2.0, 2.0), (28.0, 12.0)])
def test_given_and_missing_filling_temperatures_agree_with_monte_carlo(
    filled: tuple[float, float] | None, thermometer: bool, ratio: str, runs: int
):
    """Not given: all at the tube's temperature. Near 4 degrees water keeps its volume, but a guess is far off."""
    read = 22.0 if filled is None else 5.0 + filled[0] / 2.0
    trial = Trial(70, ratio, step=0.2, read=read, runs=runs, filled=filled, thermometer=thermometer)
    check(judged(replace(trial, filled_thermometer=thermometer), DRAWS // 2), trial)


@pytest.mark.parametrize("runs", [1, 2])
@pytest.mark.parametrize("kind", ["linear", "corrected"])
@pytest.mark.parametrize("content", [30, 50, 85])
def test_an_unknown_scale_covers_both_kinds(content: int, kind: str, runs: int):
    """The result is between the two kinds, and U covers both. Marks 2 % apart are 1 mL of 50."""
    trial, tube = Trial(content, runs=runs), Tube("unknown", 2.0)
    shown = printed(kind, lines_seen(trial, DRAWS // 2), trial)
    found = results(
        [Measurement(tube, tuple(Run(50, 50, percent=p) for p in row), 20.0, True) for row in shown.tolist()]
    )
    inside = [abs(one[0] - content) <= one[1] for one in found if isinstance(one, Figures)]
    assert len(inside) > 0.99 * len(found)
    assert 0.93 - noise(DRAWS // 2) <= np.mean(inside) <= 0.97 + noise(DRAWS // 2)


def test_the_interval_holds_for_a_coarse_tube_with_little_fuel():
    """1 mL steps and 10 mL of fuel: U is 6 to 7 points and covers the truth."""
    found = judged(Trial(50, "9:1", filled=(20.0, 20.0)), DRAWS)
    assert 6.0 < found.expanded.mean() < 7.0
    check(found, "9:1")


@pytest.mark.parametrize("ratio", ["1:1", "3:1"])
@pytest.mark.parametrize("content", [10, 30, 50, 70, 85, 95])
def test_the_corrected_result_has_no_bias(content: int, ratio: str):
    """With lines by the reference file, the mean is right to 0.15 points and 94 to 97 % are inside U."""
    found = judged(Trial(content, ratio, step=STEPS[ratio]), DRAWS)
    assert abs(found.error.mean()) < 0.15
    assert 0.94 <= found.coverage <= 0.97


def test_without_the_exchange_table_strong_fuel_reads_a_point_high():
    """The bias the test above would see without the correction: about 1.0 at 85 % 1:1 (the file's table)."""
    table = {"contents_percent": [0, 100], "fuel_shares": [0.1, 0.5]}
    nothing = Exchange.of({**table, "bias_points": [[0, 0], [0, 0]], "u_points": [[0, 0], [0, 0]]})
    (seen,) = measurements(Trial(85), lines_seen(Trial(85), 1, ()))
    assert result(seen, exchange=nothing).content == pytest.approx(86.0, abs=0.05)
    assert result(seen).content == pytest.approx(85.0, abs=0.001)


def test_propagation_agrees_with_the_package_uncertainties():
    """Linear propagation by `uncertainties` through scipy's root finder, with numeric derivatives."""
    trial = Trial(76, filled=(14.0, 11.0), read=18.0, thermometer=False)
    (seen,) = measurements(trial, lines_seen(trial, 1, ()))

    def content(line, mark, top, water_at, fuel_at, read, wet):
        return content_of(line, mark, top - mark, (water_at, fuel_at, read), wet)

    inputs = (
        ufloat(seen.runs[0].line, 0.5 / sqrt(6)),
        ufloat(50, 0.5 / sqrt(3)),
        ufloat(100, 0.5 / sqrt(3)),
        ufloat(14, 0.5),
        ufloat(11, 0.5),
        ufloat(18, GUESS),
        ufloat(0.5, FUEL_WATER / sqrt(3)),
    )
    told = wrap(content)(*inputs)
    (below, _), (above, _) = exchange(75.0, "1:1", 18.0), exchange(77.0, "1:1", 18.0)
    other = told / (1.0 + (above - below) / 2.0) + ufloat(0, exchange(76.0, "1:1", 18.0)[1])
    ours = result(seen)
    assert told.nominal_value - ours.content == pytest.approx(exchange(76.0, "1:1", 18.0)[0], rel=1e-9)
    assert sqrt(ours.own_uncertainty**2 + ours.shared_uncertainty**2) == pytest.approx(other.std_dev, rel=1e-4)
