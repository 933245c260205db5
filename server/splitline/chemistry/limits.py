"""What cannot be: each limit of the inputs as a `Problem`, all of them, never only the first."""

from dataclasses import replace

from splitline.chemistry.density import COLDEST, WARMEST
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.errors import Problem

MOST_RUNS = 9
# Volumes of a tube that is held in the hand, mL, and steps that are printed on one, mL or %.
LEAST_FILL, MOST_FILL = 0.5, 2000.0
FINEST_STEP, COARSEST_STEP = 0.01, 50.0
# A mark further off than this share of the largest one was weighed or typed wrongly.
MARK_ERROR = 0.1
LARGEST_OFFSET = 15.0
# Water in the fuel, % (V/V).
FUEL_WATER = (0.0, 10.0)
# The fuel's top stands no higher than this share of the fill: a reading error.
OVERFULL = 1.05


def problems(measurement: Measurement) -> list[Problem]:
    """Return everything that makes a measurement impossible to evaluate; an empty list when it can be."""
    found = [*_conditions(measurement)]
    for index, run in enumerate(measurement.runs):
        found += [replace(problem, field=f"runs[{index}].{problem.field}") for problem in _run(measurement, run)]
    return found


def _conditions(measurement: Measurement) -> list[Problem]:
    found = []
    if not COLDEST <= measurement.temperature <= WARMEST:
        found.append(_problem("temperature_range", "temperature", measurement.temperature, f"{COLDEST:g}..{WARMEST:g}"))
    driest, wettest = FUEL_WATER
    if not driest <= measurement.fuel_water <= wettest:
        found.append(_problem("fuel_water_range", "fuel_water", measurement.fuel_water, f"{driest:g}..{wettest:g}"))
    if not 1 <= len(measurement.runs) <= MOST_RUNS:
        found.append(_problem("runs_count", "runs", len(measurement.runs), f"1..{MOST_RUNS}"))
    found += _tube(measurement.tube)
    if measurement.tube.liquid == "brine" and measurement.tube.scale in ("corrected", "unknown"):
        found.append(Problem("brine_scale", "tube.scale", measurement.tube.scale, "volume, linear"))
    return found


def _tube(tube: Tube) -> list[Problem]:
    """Steps a person can read; an offset of a few points."""
    found = []
    if not FINEST_STEP <= tube.graduation <= COARSEST_STEP:
        limit = f"{FINEST_STEP:g}..{COARSEST_STEP:g}"
        found.append(_problem("graduation_range", "tube.graduation", tube.graduation, limit))
    if not 0.0 <= (tube.tolerance or 0.0) <= COARSEST_STEP:
        found.append(_problem("tolerance_range", "tube.tolerance", tube.tolerance, f"0..{COARSEST_STEP:g}"))
    if tube.calibration:
        found += _calibration(tube)
    if not abs(tube.offset) <= LARGEST_OFFSET:
        found.append(_problem("offset_range", "tube.offset", tube.offset, f"-{LARGEST_OFFSET:g}..{LARGEST_OFFSET:g}"))
    return found


def _calibration(tube: Tube) -> list[Problem]:
    """A calibrated mark is near its nominal volume, and weighed once."""
    found = []
    nominals = [mark.nominal for mark in tube.calibration]
    for index, mark in enumerate(tube.calibration):
        most = MARK_ERROR * max(nominals)
        if not abs(mark.true - mark.nominal) <= most:
            field = f"tube.calibration[{index}].true"
            found.append(_problem("calibration_range", field, mark.true, f"{mark.nominal:g} +- {most:g}"))
    if len(set(nominals)) < len(nominals):
        found.append(Problem("calibration_twice", "tube.calibration"))
    return found


def _run(measurement: Measurement, run: Run) -> list[Problem]:
    found = [*_fill("water", run.water), *_fill("fuel", run.fuel)]
    if found:
        return found
    on_volume = measurement.tube.scale == "volume"
    wanted, given, other = ("line", run.line, run.percent) if on_volume else ("percent", run.percent, run.line)
    if given is None or other is not None:
        return [Problem("line_kind", wanted, "", wanted)]
    if run.line is not None and run.line < run.water:
        found.append(_problem("line_below_water", "line", run.line, f">= {run.water:g}"))
    if run.line is not None and run.line > run.water + run.fuel:
        found.append(_problem("line_above_fill", "line", run.line, f"<= {run.water + run.fuel:g}"))
    if run.percent is not None and not 0.0 <= run.percent <= 100.0:
        found.append(_problem("percent_range", "percent", run.percent, "0..100"))
    if run.line_half_width is not None and not 0.0 < run.line_half_width <= run.fuel / 4.0:
        limit = f"> 0, <= {run.fuel / 4.0:g}"
        found.append(_problem("line_half_width_range", "line_half_width", run.line_half_width, limit))
    if run.top is not None:
        found += _top(run)
    return found


def _fill(name: str, value: float) -> list[Problem]:
    if LEAST_FILL <= value <= MOST_FILL:
        return []
    return [_problem("fill_range", name, value, f"{LEAST_FILL:g}..{MOST_FILL:g}")]


def _top(run: Run) -> list[Problem]:
    """The fuel's top lies above the line and, but for a reading error of 5 %, not above the fill."""
    floor = run.line if run.line is not None else run.water
    ceiling = OVERFULL * (run.water + run.fuel)
    if floor <= (run.top or 0.0) <= ceiling:
        return []
    return [_problem("top_range", "top", run.top, f"{floor:g}..{ceiling:g}")]


def _problem(code: str, field: str, value: object, limit: str) -> Problem:
    return Problem(code, field, f"{value:g}" if isinstance(value, float) else str(value), limit)
