"""Physics: the server computes every content again from the raw runs, and refuses what cannot be."""

from dataclasses import dataclass
from math import isfinite

from splitline.chemistry import measurement
from splitline.chemistry.budget import result
from splitline.errors import Problem, Unusable
from splitline.records import Test

# A device and the server run the same equations on the same numbers; more than this means another version or a fault.
DIFFERENCE = 0.1


@dataclass(frozen=True, slots=True)
class Figures:
    """The server's own result of a test, % (V/V); the uncertainties but the expanded one are standard."""

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float


def measured(test: Test) -> measurement.Measurement:
    """Return what was measured in a test, as the chemistry knows it."""
    tube = test.tube
    return measurement.Measurement(
        tube=measurement.Tube(tube.scale, tube.graduation, tube.liquid, tube.tolerance),
        runs=tuple(measurement.Run(run.water, run.fuel, run.line, run.percent, run.top) for run in test.runs),
        temperature=test.temperature,
        temperature_measured=test.temperature_measured,
        fuel_water=test.fuel_water,
    )


def figures(test: Test) -> tuple[Figures | None, list[Problem]]:
    """Return the server's figures of a test, or None and everything that makes them impossible."""
    try:
        found = result(measured(test))
    except Unusable as fault:
        return None, fault.problems
    except ArithmeticError:
        # Volumes no tube has, such as 1e-300 mL, are in range one by one and still overflow together.
        return None, [Problem("not_computable", "runs")]
    answer = Figures(
        found.content,
        found.expanded_uncertainty,
        found.own_uncertainty,
        found.shared_uncertainty,
        found.coverage_factor,
    )
    if not (isfinite(answer.content) and isfinite(answer.expanded_uncertainty) and answer.own_uncertainty > 0.0):
        return None, [Problem("not_computable", "runs")]
    return answer, []


def content_differs(test: Test, computed: Figures) -> Problem | None:
    """Flag a device that computes another content from the same runs."""
    if abs(test.content - computed.content) <= DIFFERENCE:
        return None
    return Problem("content_differs", "content", f"{test.content:.2f}", f"{computed.content:.2f}")
