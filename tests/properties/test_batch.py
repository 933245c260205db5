"""The batch answers as one test at a time does."""

from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import vectors
from splitline.chemistry.batch import Figures, figures_of, results
from splitline.chemistry.budget import result
from splitline.chemistry.measurement import Measurement
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


def test_an_empty_batch_is_an_empty_answer():
    assert results([]) == []
