"""Limits of the inputs: each violation is a `Problem`, and all are reported, not only the first."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf
from operator import itemgetter

import numpy as np

from splitline.chemistry.density import COLDEST, WARMEST
from splitline.chemistry.measurement import BRINE_SCALES, CalibrationMark
from splitline.chemistry.polynomial import Array, Real
from splitline.chemistry.runs import Flags, Runs
from splitline.errors import Problem

MOST_RUNS = 9
# Volumes of a hand-held tube, mL, and steps printed on one, mL or %.
LEAST_FILL, MOST_FILL = 0.5, 2000.0
FINEST_STEP, COARSEST_STEP = 0.01, 50.0
# A mark off by more than this share of the largest one was weighed or typed wrongly.
MARK_ERROR = 0.1
LARGEST_OFFSET = 15.0
# Water in the fuel, % (V/V).
FUEL_WATER = (0.0, 10.0)
# Shares of fuel in a filling for which the exchange between the layers is known. Slightly above one half counts as one
# half: 50.0 and 50.1 mL are as good as equal.
LEAST_SHARE, MOST_SHARE = 0.1, 0.505
# Highest content that the standard for brine covers, %.
STRONGEST_BRINE = 30.0
# Highest top of the fuel, as a share of the fill: allows for reading error.
OVERFULL = 1.05
# The smallest number above 0.
_TINY = float(np.nextafter(0.0, 1.0))


def problems(runs: Runs) -> dict[int, list[Problem]]:
    """Return, for each test that cannot be evaluated, everything that makes it impossible."""
    found = defaultdict(list)
    for test, problem in _tests(runs):
        found[test].append(problem)
    for run, problem in sorted(_runs(runs), key=itemgetter(0)):
        test = int(runs.test[run])
        found[test].append(replace(problem, field=f"runs[{runs.place[run]}].{problem.field}"))
    return found


def _tests(runs: Runs) -> list[tuple[int, Problem]]:
    """Check the conditions that the formulas cover, steps that a person can read, and an offset of a few points."""
    tests, water, fuel = runs.tests, runs.tests.water_temperature, runs.tests.fuel_temperature
    return [
        *_outside("temperature_range", "temperature", tests.temperature, COLDEST, WARMEST),
        *_outside("temperature_range", "water_temperature", water, COLDEST, WARMEST, among=~np.isnan(water)),
        *_outside("temperature_range", "fuel_temperature", fuel, COLDEST, WARMEST, among=~np.isnan(fuel)),
        *_outside("fuel_water_range", "fuel_water", tests.fuel_water, *FUEL_WATER),
        *_outside("runs_count", "runs", runs.count, 1, MOST_RUNS),
        *((int(runs.tube_test[tube]), problem) for tube, problem in sorted(_tubes(runs), key=itemgetter(0))),
    ]


def _tubes(runs: Runs) -> list[tuple[int, Problem]]:
    """Check tubes, each test's main tube and any others; all tubes of a test use one liquid."""
    tubes, tolerance = runs.tubes, runs.tubes.tolerance
    own = np.searchsorted(runs.tube_test, runs.tube_test)
    scaleless = tubes.brine & np.all([tubes.scale != scale for scale in BRINE_SCALES], axis=0)
    return [
        *_outside("graduation_range", "tube.graduation", tubes.graduation, FINEST_STEP, COARSEST_STEP),
        *_outside("tolerance_range", "tube.tolerance", tolerance, 0.0, COARSEST_STEP, among=~np.isnan(tolerance)),
        *((tube, problem) for tube in _where(tubes.calibrated) for problem in _calibration(runs.marks[tube])),
        *_outside("offset_range", "tube.offset", tubes.offset, -LARGEST_OFFSET, LARGEST_OFFSET),
        *(
            (at, Problem("brine_scale", "tube.scale", str(tubes.scale[at]), ", ".join(BRINE_SCALES)))
            for at in _where(scaleless)
        ),
        *((tube, Problem("liquids_differ", "runs")) for tube in _where(tubes.brine != tubes.brine[own])),
    ]


def _calibration(marks: Sequence[CalibrationMark]) -> Iterator[Problem]:
    """Check that a calibrated mark is near its nominal volume and was weighed only once."""
    nominals = [mark.nominal for mark in marks]
    most = MARK_ERROR * max(nominals)
    for index, mark in enumerate(marks):
        if not abs(mark.true - mark.nominal) <= most:
            limit = f"{mark.nominal:g} +- {most:g}"
            yield Problem("calibration_range", f"tube.calibration[{index}].true", f"{mark.true:g}", limit)
    if len(set(nominals)) < len(nominals):
        yield Problem("calibration_twice", "tube.calibration")


def _runs(runs: Runs) -> list[tuple[int, Problem]]:
    """Check the fills, the reading (one, of the right kind, within them), and the fuel's top (between line and fill).

    If the fills or the kind of reading are wrong, nothing more is reported for that run.
    """
    on_volume, total, line = runs.in_tube.on_volume, runs.water + runs.fuel, runs.line
    filled = _within(runs.water, LEAST_FILL, MOST_FILL) & _within(runs.fuel, LEAST_FILL, MOST_FILL)
    of_kind = (np.isnan(line) != on_volume) & (np.isnan(runs.percent) == on_volume)
    good = filled & of_kind
    floor, top = np.where(on_volume, line, runs.water), runs.top
    half, widest = runs.given_half_width, runs.fuel / 4.0
    wanted = {run: "line" if on_volume[run] else "percent" for run in _where(filled & ~of_kind)}
    return [
        *_outside("fill_range", "water", runs.water, LEAST_FILL, MOST_FILL),
        *_outside("fill_range", "fuel", runs.fuel, LEAST_FILL, MOST_FILL),
        *_shares(runs, filled & ~runs.in_tube.brine),
        *((run, Problem("line_kind", name, "", name)) for run, name in wanted.items()),
        *_outside("line_below_water", "line", line, runs.water, inf, ">= {0:g}", good & on_volume),
        *_outside("line_above_fill", "line", line, -inf, total, "<= {1:g}", good & on_volume),
        *_outside("percent_range", "percent", runs.percent, 0.0, 100.0, among=good & ~on_volume),
        *_outside(
            "line_half_width_range", "line_half_width", half, _TINY, widest, "> 0, <= {1:g}", good & ~np.isnan(half)
        ),
        *_outside("top_range", "top", top, floor, OVERFULL * total, among=good & ~np.isnan(top)),
    ]


def _shares(runs: Runs, among: Flags) -> Iterator[tuple[int, Problem]]:
    """Report fillings for which the exchange between the layers is unknown, in volumes."""
    for run in _where(~_within(runs.share, LEAST_SHARE, MOST_SHARE) & among):
        total = runs.water[run] + runs.fuel[run]
        yield run, Problem("fill_share", "fuel", f"{runs.fuel[run]:g}", f"{total / 10.0:g}..{total / 2.0:g}")


def _outside(
    code: str, field: str, values: Array, low: Real, high: Real, limit: str = "{0:g}..{1:g}", among: Flags | bool = True
) -> list[tuple[int, Problem]]:
    """Return a problem for each value outside a range, of those selected by `among`; `limit` is the range as text."""
    found = []
    for index in _where(~_within(values, low, high) & among):
        ends = (np.broadcast_to(end, values.shape)[index] for end in (low, high))
        found.append((index, Problem(code, field, f"{values[index]:g}", limit.format(*ends))))
    return found


def _within(values: Array, low: Real, high: Real) -> Flags:
    return (low <= values) & (values <= high)


def _where(flags: Flags) -> list[int]:
    found: list[int] = np.flatnonzero(flags).tolist()
    return found
