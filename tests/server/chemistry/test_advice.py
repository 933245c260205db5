"""Advice on improving a result: checked by hand, and by following it."""

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outside.tube_world import line
from splitline.chemistry.advice import WORTHWHILE, Advice, advice, per_ten_degrees
from splitline.chemistry.budget import result
from splitline.chemistry.measurement import Measurement, Run, Tube

TUBE = Tube("volume", 1.0)
ONE = Measurement(TUBE, (Run(50.0, 50.0, line=88.8),), 10.0, True, 0.0)


def acts(measured: Measurement) -> list[str]:
    return [one.act for one in advice(measured)]


def test_ten_degrees_have_the_effect_of_the_density_tables():
    """50 + 50 mL of dry fuel, line at 88.8 mL: 84.86 % at 0 degrees, 84.00 % at 20, by hand from OIML R 22.

    From 80 to 85 % the exchange rises from 0.8 to 1.0 points, so 5.2 points read are 5.
    """
    assert per_ten_degrees(ONE) == pytest.approx((84.00 - 84.86) / 2.0 * 5.0 / 5.2, abs=0.02)


def test_the_brine_formula_ignores_temperature():
    brine = replace(ONE, tube=Tube("volume", 1.0, "brine"), runs=(Run(50.0, 50.0, line=60.0),))
    assert per_ten_degrees(brine) == 0.0


def test_a_coarse_tube_read_once_needs_finer_steps_or_another_run():
    assert acts(ONE) == ["finer_tube", "one_more_run"]


def test_a_guessed_temperature_needs_a_thermometer():
    """Filled at a known temperature, read at a guessed one: 2 degrees, much water, a fine tube."""
    fine = replace(ONE, tube=Tube("linear", 0.5), runs=(Run(90.0, 10.0, percent=80.0),), temperature_measured=False)
    guessed = replace(fine, water_temperature=12.0, water_temperature_measured=True, fuel_temperature_measured=True)
    assert "measure_temperature" in acts(guessed)
    assert "measure_temperature" not in acts(replace(guessed, temperature_measured=True))


def test_a_guessed_fuel_temperature_needs_a_thermometer_too():
    """4 degrees of strong fuel are 0.36 points at 1:1; in a fine tube only the exchange is larger."""
    fine = replace(ONE, tube=Tube("volume", 0.1), water_temperature=10.0, water_temperature_measured=True)
    assert "measure_temperature" in acts(fine)
    assert "measure_temperature" not in acts(replace(fine, fuel_temperature_measured=True))


def test_strong_fuel_in_a_fine_tube_needs_more_water():
    """The exchange is 1.0 +- 0.4 points at 1:1 and 0.25 +- 0.15 at 3:1 (published file, 'consequences')."""
    fine = replace(ONE, tube=Tube("volume", 0.2))
    assert acts(fine) == ["other_filling"]
    assert [(one.water, one.fuel) for one in advice(fine)] == [(75.0, 25.0)]
    assert "other_filling" not in acts(ONE)
    weak = replace(fine, runs=(Run(75.0, 25.0, line=80.0),))
    assert "other_filling" not in acts(replace(weak, tube=Tube("linear", 1.0), runs=(Run(75.0, 25.0, percent=20.0),)))
    assert "other_filling" not in acts(replace(fine, tube=Tube("volume", 0.2, "brine"), runs=(Run(50, 50, 60.0),)))


@given(
    st.floats(15, 93), st.sampled_from([0.1, 0.2, 0.5, 1.0]), st.sampled_from([1 / 2, 1 / 4, 1 / 10]), st.integers(1, 3)
)
def test_filling_as_advised_gives_the_promised_uncertainty(content: float, step: float, share: float, count: int):
    """Simulated separately without exchange, because a point more or less does not matter here."""

    def filled(water: float, fuel: float) -> Measurement:
        run = Run(water, fuel, line=float(line(content, water, fuel, (20.0, 20.0, 20.0), 0.5)))
        return Measurement(Tube("volume", step), (run,) * count, 20.0, True)

    before = filled(100.0 - 100.0 * share, 100.0 * share)
    for one in advice(before):
        if one.act == "other_filling":
            assert one.water is not None
            assert one.fuel is not None
            assert one.water / step == pytest.approx(round(one.water / step))
            assert one.water + one.fuel == pytest.approx(100.0)
            after = result(filled(one.water, one.fuel))
            assert after.expanded_uncertainty == pytest.approx(one.expanded_uncertainty, rel=0.03)
            assert after.expanded_uncertainty < result(before).expanded_uncertainty
        else:
            assert one.water is None
            assert one.fuel is None


def test_weighing_the_marks_is_advised_until_it_is_done():
    stated = replace(ONE, tube=Tube("volume", 0.2, tolerance=1.0))
    assert acts(stated)[0] == "calibrate_tube"
    assert "calibrate_tube" not in acts(replace(stated, tube=Tube("volume", 0.2, tolerance=0.0)))


def test_finding_out_an_unknown_scale_comes_first():
    unknown = replace(ONE, tube=Tube("unknown", 1.0), runs=(Run(50.0, 50.0, percent=78.0),))
    assert acts(unknown)[0] == "know_scale"


def test_a_coarsely_read_line_should_be_read_finer():
    read = replace(ONE, tube=Tube("volume", 0.1), runs=(Run(50.0, 50.0, line=88.8, line_half_width=1.0),))
    assert acts(read)[0] == "read_finer"


def test_contradicting_runs_are_repeated_first():
    assert advice(replace(ONE, runs=(Run(50.0, 50.0, line=88.8), Run(50.0, 50.0, line=84.0)))) == ()


def test_a_second_run_halves_the_variance_of_random_parts():
    """u^2 = shared^2 + own^2 / n (measurement.md): checked against that sum, with the coverage factor of one run."""
    one = result(ONE)
    (again,) = (found for found in advice(ONE) if found.act == "one_more_run")
    by_hand = one.coverage_factor * sqrt(one.shared_uncertainty**2 + one.own_uncertainty**2 / 2.0)
    assert again.expanded_uncertainty == pytest.approx(by_hand, rel=0.02)


measured = st.builds(
    Measurement,
    st.builds(
        Tube,
        st.sampled_from(["linear", "corrected", "unknown"]),
        st.sampled_from([0.2, 1.0, 2.0]),
        tolerance=st.none() | st.floats(0, 1),
    ),
    st.lists(st.builds(Run, st.just(50.0), st.just(50.0), percent=st.floats(20, 80)), min_size=1, max_size=5).map(
        tuple
    ),
    st.floats(-20, 40),
    st.booleans(),
)


@given(measured)
def test_every_piece_of_advice_helps_and_the_best_comes_first(case: Measurement):
    found = advice(case)
    left = [one.expanded_uncertainty for one in found]
    assert len(found) <= 2
    assert left == sorted(left)
    assert all(0.0 < u <= WORTHWHILE * result(case).expanded_uncertainty for u in left)


@given(measured)
def test_following_the_advice_gives_the_promised_uncertainty(case: Measurement):
    done = {
        "measure_temperature": lambda: replace(
            case, temperature_measured=True, water_temperature_measured=True, fuel_temperature_measured=True
        ),
        "finer_tube": lambda: replace(case, tube=replace(case.tube, graduation=case.tube.graduation / 2.0)),
        "calibrate_tube": lambda: replace(case, tube=replace(case.tube, tolerance=0.0)),
    }
    for one in advice(case):
        assert isinstance(one, Advice)
        if one.act in done:
            assert result(done[one.act]()).expanded_uncertainty == pytest.approx(one.expanded_uncertainty)
