"""What would make a result better follows from the numbers: by hand, and by doing it."""

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitline.chemistry.advice import WORTHWHILE, Advice, advice, per_ten_degrees, strong_layer
from splitline.chemistry.budget import result
from splitline.chemistry.measurement import Measurement, Run, Tube

TUBE = Tube("volume", 1.0)
ONE = Measurement(TUBE, (Run(50.0, 50.0, line=88.8),), 10.0, True, 0.0)


def acts(measured: Measurement) -> list[str]:
    return [one.act for one in advice(measured)]


def test_ten_degrees_are_what_the_density_tables_say():
    """50 + 50 mL of dry fuel, line at 88.8 mL: 84.86 % at 0 degrees, 84.00 % at 20, by hand from OIML R 22."""
    assert per_ten_degrees(ONE) == pytest.approx((84.00 - 84.86) / 2.0, abs=0.02)


def test_brine_has_no_temperature_in_its_formula():
    assert per_ten_degrees(replace(ONE, tube=Tube("volume", 1.0, "brine"))) == 0.0


@pytest.mark.parametrize(
    ("water", "fuel", "line", "strong"),
    [
        (50.0, 50.0, 88.8, False),  # 42 mL of ethanol in 88.8 mL: 47 %
        (45.0, 55.0, 87.5, True),  # 46.4 mL in 87.5 mL: 53 %
        (60.0, 40.0, 91.0, False),
        (40.0, 60.0, 58.0, False),  # E32: 19 mL in 58 mL
    ],
)
def test_a_layer_of_more_than_half_ethanol_is_strong(water: float, fuel: float, line: float, strong: bool):
    assert strong_layer(replace(ONE, runs=(Run(water, fuel, line=line),))) == strong


def test_a_coarse_tube_read_once_wants_finer_steps_or_another_run():
    assert acts(ONE) == ["finer_tube", "one_more_run"]


def test_a_guess_in_the_cold_wants_a_thermometer():
    """A fine tube, and 2 degrees of guess: the temperature is the largest part that can be had for the asking."""
    cold = replace(ONE, tube=Tube("volume", 0.1), temperature=-18.0, temperature_measured=False)
    assert "measure_temperature" in acts(cold)
    assert "measure_temperature" not in acts(replace(cold, temperature_measured=True))


def test_stated_marks_want_weighing_until_they_are_weighed():
    stated = replace(ONE, tube=Tube("volume", 0.2, tolerance=1.0))
    assert acts(stated)[0] == "calibrate_tube"
    assert "calibrate_tube" not in acts(replace(stated, tube=Tube("volume", 0.2, tolerance=0.0)))


def test_an_unknown_scale_is_found_out_first():
    unknown = replace(ONE, tube=Tube("unknown", 1.0), runs=(Run(50.0, 50.0, percent=78.0),))
    assert acts(unknown)[0] == "know_scale"


def test_a_coarse_line_between_well_set_fills_is_read_finer():
    read = replace(ONE, tube=Tube("volume", 0.1), runs=(Run(50.0, 50.0, line=88.8, line_half_width=1.0),))
    assert acts(read)[0] == "read_finer"


def test_contradicting_runs_are_repeated_before_anything_is_improved():
    assert advice(replace(ONE, runs=(Run(50.0, 50.0, line=88.8), Run(50.0, 50.0, line=84.0)))) == ()


def test_a_second_run_halves_the_variance_of_what_is_drawn_afresh():
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
def test_every_act_helps_and_the_best_comes_first(case: Measurement):
    found = advice(case)
    left = [one.expanded_uncertainty for one in found]
    assert len(found) <= 2
    assert left == sorted(left)
    assert all(0.0 < u <= WORTHWHILE * result(case).expanded_uncertainty for u in left)


@given(measured)
def test_doing_what_is_advised_gives_what_was_promised(case: Measurement):
    done = {
        "measure_temperature": lambda: replace(case, temperature_measured=True),
        "finer_tube": lambda: replace(case, tube=replace(case.tube, graduation=case.tube.graduation / 2.0)),
        "calibrate_tube": lambda: replace(case, tube=replace(case.tube, tolerance=0.0)),
    }
    for one in advice(case):
        assert isinstance(one, Advice)
        if one.act in done:
            assert result(done[one.act]()).expanded_uncertainty == pytest.approx(one.expanded_uncertainty)
