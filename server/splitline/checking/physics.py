"""Physics: the server computes every content again from the raw runs, and refuses what cannot be."""

from collections.abc import Sequence

from splitline.chemistry import measurement
from splitline.chemistry.batch import Figures, results
from splitline.errors import Problem
from splitline.records import Test

# A device and the server run the same equations on the same numbers; more than this means another version or a fault.
DIFFERENCE = 0.1


def measured(test: Test) -> measurement.Measurement:
    """Return what was measured in a test, as the chemistry knows it."""
    tube = test.tube
    calibration = tuple(measurement.CalibrationMark(mark.nominal, mark.true) for mark in tube.calibration)
    return measurement.Measurement(
        tube=measurement.Tube(
            tube.scale,
            tube.graduation,
            tube.liquid,
            tube.tolerance,
            calibration,
            tube.offset,
            tube.offset_uncertainty,
        ),
        runs=tuple(
            measurement.Run(run.water, run.fuel, run.line, run.percent, run.top, run.line_half_width)
            for run in test.runs
        ),
        temperature=test.temperature,
        temperature_measured=test.temperature_measured,
        fuel_water=test.fuel_water,
    )


def figures(tests: Sequence[Test]) -> list[Figures | list[Problem]]:
    """Return the server's figures of each test, in order, or everything that makes them impossible."""
    return results([measured(test) for test in tests])


def content_differs(test: Test, computed: Figures) -> Problem | None:
    """Flag a device that computes another content from the same runs."""
    if abs(test.content - computed.content) <= DIFFERENCE:
        return None
    return Problem("content_differs", "content", f"{test.content:.2f}", f"{computed.content:.2f}")
