"""The batch answers as one test at a time does."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import vectors
from splitline.chemistry.batch import Figures, figures_of, results
from splitline.chemistry.budget import result
from splitline.chemistry.limits import problems
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.errors import Problem, Unusable

FIELDS = ("content", "expanded_uncertainty", "own_uncertainty", "shared_uncertainty", "coverage_factor")


def one_at_a_time(measurement: Measurement) -> Figures | list[Problem]:
    try:
        return figures_of(result(measurement))
    except Unusable as fault:
        return fault.problems


@settings(max_examples=40)
@given(st.integers(0, 2**32), st.integers(1, 60))
@example(58, 4)  # A line under the mark of the water.
def test_the_batch_answers_as_one_at_a_time(seed, count):
    random = Random(seed)
    measurements = [vectors.measurement(random) for _ in range(count)]
    for measurement, found in zip(measurements, results(measurements), strict=True):
        alone = one_at_a_time(measurement)
        if isinstance(alone, list):
            assert found == alone
            continue
        for name in FIELDS:
            assert getattr(found, name) == pytest.approx(getattr(alone, name), rel=1e-9, abs=1e-12)


VOLUME = Measurement(Tube("volume", 1.0), (Run(50.0, 50.0, line=85.0), Run(50.0, 50.0, line=85.5)), 20.0, True, 0.5)
PERCENT = Measurement(Tube("linear", 1.0), (Run(50.0, 50.0, percent=70.0), Run(50.0, 50.0, percent=71.0)), 20.0, True)
OUTSIDE = {
    "colder than the formula": lambda good: replace(good, temperature=-20.1),
    "warmer than the formula": lambda good: replace(good, temperature=40.1),
    "dryer than dry": lambda good: replace(good, fuel_water=-0.1),
    "too wet": lambda good: replace(good, fuel_water=10.1),
    "no runs": lambda good: replace(good, runs=()),
    "ten runs": lambda good: replace(good, runs=good.runs * 5),
    "steps too fine": lambda good: replace(good, tube=replace(good.tube, graduation=0.009)),
    "steps too coarse": lambda good: replace(good, tube=replace(good.tube, graduation=50.1)),
    "tolerance below 0": lambda good: replace(good, tube=replace(good.tube, tolerance=-0.1)),
    "tolerance too large": lambda good: replace(good, tube=replace(good.tube, tolerance=50.1)),
    "no water": lambda good: _run(good, water=0.4),
    "too much water": lambda good: _run(good, water=2000.1),
    "no fuel": lambda good: _run(good, fuel=0.4),
    "too much fuel": lambda good: _run(good, fuel=2000.1),
    "nothing read": lambda good: _run(good, line=None, percent=None),
    "read twice": lambda good: _run(good, line=85.0, percent=70.0),
    "the other kind of reading": lambda good: _run(good, line=good.runs[1].percent, percent=good.runs[1].line),
    "below the scale": lambda good: _run(good, **_reading(good, 49.9, -0.1)),
    "above the scale": lambda good: _run(good, **_reading(good, 100.1, 100.1)),
    "half width of nothing": lambda good: _run(good, line_half_width=0.0),
    "half width too wide": lambda good: _run(good, line_half_width=12.6),
    "top too low": lambda good: _run(good, top=49.9),
    "top too high": lambda good: _run(good, top=105.1),
}


def _run(good: Measurement, **spoilt: float | None) -> Measurement:
    return replace(good, runs=(good.runs[0], replace(good.runs[1], **spoilt)))


def _reading(good: Measurement, line: float, percent: float) -> dict[str, float]:
    return {"line": line} if good.tube.scale == "volume" else {"percent": percent}


@pytest.mark.parametrize("good", [VOLUME, PERCENT], ids=["volume", "percent"])
@pytest.mark.parametrize("what", OUTSIDE)
def test_what_cannot_be_is_told_in_a_batch_as_alone(what: str, good: Measurement) -> None:
    first, found, last = results([good, OUTSIDE[what](good), good])
    assert isinstance(found, list)
    assert found == problems(OUTSIDE[what](good))
    assert first == last == results([good])[0]
    assert isinstance(first, Figures)


def test_an_empty_batch_is_an_empty_answer():
    assert results([]) == []
