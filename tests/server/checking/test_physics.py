"""The chemistry accepts test records directly: no measured field is missing or named differently."""

from dataclasses import fields, replace
from random import Random
from typing import get_args

import pytest
from msgspec import Struct, convert, to_builtins

import vectors
from helpers.examples import identifier, reading
from splitline import records
from splitline.checking import physics
from splitline.chemistry import measurement
from splitline.chemistry.budget import results


def as_record(measured: measurement.Measurement, number: int) -> records.Test:
    """A test record with these measurements, as if decoded from JSON."""
    made = to_builtins(measured)
    for place, tube in [(made, made["tube"]), *((run, run["tube"]) for run in made["runs"])]:
        place["tube"] = tube and {"id": identifier(1), **tube}
    return convert({**reading(number, at=1), **made}, records.Test)


@pytest.mark.parametrize(
    ("record", "measured"),
    [
        (records.Test, measurement.Measurement),
        (records.Tube, measurement.Tube),
        (records.Run, measurement.Run),
        (records.CalibrationMark, measurement.CalibrationMark),
    ],
)
def test_a_test_record_has_the_fields_of_a_measurement(record: type[Struct], measured: type) -> None:
    assert {field.name for field in fields(measured)} <= set(record.__struct_fields__)


def test_a_test_record_gives_the_same_result_as_a_measurement() -> None:
    random = Random(12)
    drawn = [vectors.measurement(random) for _ in range(300)]
    drawn += [replace(one, runs=(*one.runs, replace(one.runs[0], line=1.0, set_aside="misread"))) for one in drawn[:50]]
    below = measurement.Measurement(measurement.Tube("volume", 1.0), (measurement.Run(50.0, 50.0, line=40.0),))
    sendable = [below, *(one for one in drawn if -20 <= one.temperature <= 40)]
    tests = [as_record(one, number) for number, one in enumerate(sendable)]
    answers = physics.figures(tests)
    assert answers == results(sendable)
    assert {isinstance(answer, list) for answer in answers} == {True, False}
    assert {test.tube.scale for test in tests} == set(get_args(measurement.ScaleKind))
    assert any(test.tube.calibration for test in tests)
