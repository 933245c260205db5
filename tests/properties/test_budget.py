"""Properties of the result of any measurement."""

from dataclasses import replace
from random import Random
from typing import get_args

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import vectors
from outside.tube_world import exchange, line
from splitline.chemistry.budget import Figures, result, results
from splitline.chemistry.measurement import CalibrationMark, Measurement, Run, Scale, Tube
from splitline.chemistry.scale import reading_of_line
from splitline.errors import Unusable

scales = st.sampled_from(get_args(Scale))
contents = st.floats(3, 97)
graduations = st.sampled_from([0.1, 0.5, 1.0, 2.0])
conditions = st.tuples(st.floats(-20, 40), st.booleans(), st.floats(0, 3))


def stands(content, condition, water=50.0):
    """Return the line for 50 mL of fuel, including the exchange at 0..35 degrees."""
    temperature, _, fuel_water = condition
    told = content + (exchange(content, "1:1", 20.0)[0] if 0 <= temperature <= 35 else 0.0)
    return float(line(told, water, 50.0, (temperature,) * 3, fuel_water))


def measured(scale, content, graduation, condition, runs=1):
    """Return runs that all show `content` exactly, in a 50 mL + 50 mL tube."""
    temperature, known, fuel_water = condition
    reading = reading_of_line(scale, stands(content, condition), 50, 50)
    run = Run(50, 50, line=reading) if scale == "volume" else Run(50, 50, percent=min(max(reading, 0), 100))
    return Measurement(Tube(scale, graduation), (run,) * runs, temperature, known, fuel_water)


@given(scales, contents, graduations, conditions)
def test_content_to_reading_and_back(scale, content, graduation, condition):
    measurement = measured(scale, content, graduation, condition)
    if scale == "volume" or 0 < measurement.runs[0].percent < 100:
        assert result(measurement).content == pytest.approx(content, abs=1e-8)


@given(scales, contents, graduations, conditions)
def test_the_steps_add_up_from_reading_to_content(scale, content, graduation, condition):
    answer = result(measured(scale, content, graduation, condition))
    assert answer.as_read + sum(step.change for step in answer.steps) == pytest.approx(answer.content, abs=1e-9)


@given(scales, contents, graduations, conditions)
def test_uncertainty_is_positive_and_shrinks_with_runs(scale, content, graduation, condition):
    answers = [result(measured(scale, content, graduation, condition, runs)) for runs in (1, 2, 3, 5, 9)]
    expanded = [answer.expanded_uncertainty for answer in answers]
    assert all(u > 0 for u in expanded)
    assert expanded == sorted(expanded, reverse=True)
    assert all(answer.shared_uncertainty == pytest.approx(answers[0].shared_uncertainty) for answer in answers)


@given(contents, graduations, conditions, st.floats(0.01, 2))
def test_a_higher_line_means_a_higher_content(content, graduation, condition, more):
    low = measured("volume", content, graduation, condition)
    run = low.runs[0]
    if content + 3 * more > 97:
        return
    high = replace(low, runs=(replace(run, line=run.line + more),))
    assert result(high).content > result(low).content


@given(contents, graduations, conditions)
def test_a_finer_scale_and_a_measured_temperature_are_never_worse(content, graduation, condition):
    coarse = measured("volume", content, graduation, (condition[0], False, condition[2]))
    fine = replace(coarse, tube=Tube("volume", graduation / 2), temperature_measured=True)
    assert result(fine).expanded_uncertainty < result(coarse).expanded_uncertainty


@given(st.lists(st.floats(60, 90), min_size=3, max_size=9))
def test_the_content_is_within_the_range_of_the_runs(lines):
    measurement = Measurement(Tube("volume", 1.0), tuple(Run(50, 50, line=line) for line in lines))
    answer = result(measurement)
    found = [run.content for run in answer.runs]
    assert min(found) - 1e-9 <= answer.content <= max(found) + 1e-9


@given(contents, conditions)
def test_one_gross_error_in_three_runs_does_not_decide(content, condition):
    measurement = measured("volume", content, 0.5, condition, 3)
    line = measurement.runs[0].line
    wrong = replace(measurement.runs[0], line=line + 8 if line < 75 else line - 8)
    answer = result(replace(measurement, runs=(*measurement.runs[:2], wrong)))
    assert "median_counts" in answer.warnings
    assert answer.content == pytest.approx(content, abs=1e-6)


@pytest.mark.parametrize("readings", [(3.0, 0.0), (0.0, 3.0), (0.0, 0.0)])
def test_an_unknown_scale_can_be_read_where_both_kinds_agree(readings):
    """At 0 % both kinds give the same: that run does not depend on the kind, the others do."""
    runs = tuple(Run(60.0, 40.0, percent=percent) for percent in readings)
    answer = result(Measurement(Tube("unknown", 2.0), runs))
    (kind,) = (part for part in answer.components if part.name == "scale_kind")
    assert answer.span is not None
    spread = (answer.span[1] - answer.span[0]) / 2.0
    assert kind.contribution == pytest.approx(spread, abs=1e-9)


@given(contents, conditions)
def test_an_unknown_scale_covers_both_kinds(content, condition):
    known = measured("linear", content, 1.0, condition)
    if not 0 < known.runs[0].percent < 100:
        return
    answer = result(replace(known, tube=Tube("unknown", 1.0)))
    linear = result(known).content
    corrected = result(replace(known, tube=Tube("corrected", 1.0))).content
    assert answer.span == pytest.approx(tuple(sorted((linear, corrected))))
    assert answer.span[0] <= answer.content <= answer.span[1]
    assert answer.content + answer.expanded_uncertainty > (answer.span[1] + answer.content) / 2


@given(contents, conditions, st.floats(-0.5, 0.5))
def test_a_calibrated_tube_reads_its_true_volumes(content, condition, error):
    """All marks are off by the same volume: the true line is the reading plus that volume."""
    temperature, known, fuel_water = condition
    true_water = 50 + error
    true_line = stands(content, condition, true_water)
    marks = (CalibrationMark(50, true_water), CalibrationMark(100, 100 + error))
    tube = Tube("volume", 1.0, calibration=marks)
    measurement = Measurement(tube, (Run(50, 50, line=true_line - error),), temperature, known, fuel_water)
    assert result(measurement).content == pytest.approx(content, abs=1e-6)


@given(contents, conditions, st.floats(4, 15))
def test_two_contradicting_runs_are_both_covered(content, condition, apart):
    measurement = measured("volume", content, 0.5, condition, 2)
    run = measurement.runs[0]
    other = replace(run, line=run.line + apart if run.line < 75 else run.line - apart)
    answer = result(replace(measurement, runs=(run, other)))
    assert "runs_disagree" in answer.warnings
    low, high = answer.content - answer.expanded_uncertainty, answer.content + answer.expanded_uncertainty
    assert low < min(r.content for r in answer.runs)
    assert max(r.content for r in answer.runs) < high


@settings(max_examples=40)
@given(st.integers(0, 2**32), st.integers(1, 60))
@example(58, 4)  # A line below the water mark.
def test_a_test_in_a_batch_gives_the_same_result_as_alone(seed, count):
    """Batches mix all kinds of scales, liquids, calibrated tubes and numbers of runs."""
    random = Random(seed)
    many = [vectors.measurement(random) for _ in range(count)]
    for alone, found in zip(map(full_or_problems, many), results(many), strict=True):
        if isinstance(alone, list):
            assert found == alone
        else:
            assert found == pytest.approx([getattr(alone, name) for name in Figures._fields], rel=1e-12, abs=1e-12)


def full_or_problems(measurement):
    try:
        return result(measurement)
    except Unusable as fault:
        return fault.problems
