"""Many tests at once: the equations of `budget` on arrays, for the server's batches.

The common test goes by array: a scale of known kind, water as the liquid, nothing known of the tube, runs that agree
and scatter no more than their budget. Every other test goes through `budget.result`. Both ways answer the same.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Any, NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry import extraction
from splitline.chemistry.budget import REPEATABILITY, Result, result
from splitline.chemistry.components import (
    EXTRACTION_HALF_WIDTH,
    FUEL_WATER_HALF_WIDTH,
    TEMPERATURE_GUESSED,
    TEMPERATURE_MEASURED,
)
from splitline.chemistry.coverage import RECTANGULAR, TRIANGULAR, shape_factor
from splitline.chemistry.density import COLDEST, WARMEST
from splitline.chemistry.fillings import Fillings
from splitline.chemistry.limits import (
    COARSEST_STEP,
    FINEST_STEP,
    FUEL_WATER,
    LEAST_FILL,
    MOST_FILL,
    MOST_RUNS,
    OVERFULL,
)
from splitline.chemistry.measurement import Measurement
from splitline.chemistry.scale import DRAWN_AT
from splitline.errors import Problem, Unusable

Array = NDArray[np.float64]
# The arithmetic of the tube takes arrays as it takes numbers.
_line_at = cast(Callable[..., Array], extraction.line_at)
_slopes_at = cast(Callable[..., Any], extraction.slopes_at)
_shape_factor = cast(Callable[[Array], Array], shape_factor)

# Below this content, %, a line may lie under the mark of the water, where the solution on arrays ends at about 0.
ALMOST_NOTHING = 1e-6

_KINDS = {"volume": 0.0, "linear": 1.0, "corrected": 2.0}


class Figures(NamedTuple):
    """A test's result without its steps: % (V/V); own and shared are standard uncertainties."""

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float


def results(measurements: Sequence[Measurement]) -> list[Figures | list[Problem]]:
    """Return the figures of each test, in order, or everything that makes it impossible."""
    answers: list[Figures | list[Problem] | None] = [None] * len(measurements)
    plain = [index for index, measurement in enumerate(measurements) if _is_plain(measurement)]
    if plain:
        for index, figures in zip(plain, _by_array([measurements[index] for index in plain]), strict=True):
            answers[index] = figures
    return [
        _one_by_one(measurement) if answer is None else answer
        for measurement, answer in zip(measurements, answers, strict=True)
    ]


def figures_of(answer: Result) -> Figures:
    """Return the figures of a full result."""
    return Figures(
        answer.content,
        answer.expanded_uncertainty,
        answer.own_uncertainty,
        answer.shared_uncertainty,
        answer.coverage_factor,
    )


def _one_by_one(measurement: Measurement) -> Figures | list[Problem]:
    try:
        return figures_of(result(measurement))
    except Unusable as fault:
        return fault.problems


def _is_plain(measurement: Measurement) -> bool:
    tube = measurement.tube
    known = not tube.calibration and tube.offset == 0.0 and tube.offset_uncertainty == 0.0
    return tube.scale != "unknown" and tube.liquid == "water" and known and 1 <= len(measurement.runs) <= MOST_RUNS


def _by_array(measurements: Sequence[Measurement]) -> list[Figures | None]:
    """The figures of plain tests; None where runs disagree, scatter beyond their budget or cannot be as they are."""
    with np.errstate(all="ignore"):  # What cannot be is computed as well, and not used.
        return _figures(_Runs.of(measurements))


def _figures(runs: "_Runs") -> list[Figures | None]:
    content = runs.contents()
    own, shared = runs.parts(content)
    own_parts = [(runs.mean(part**2) / runs.count, kurtosis / runs.count) for part, kurtosis in own]
    shared_parts = [(runs.mean(part) ** 2, runs.mean(kurtosis)) for part, kurtosis in shared]
    own_variance = _total([square for square, _ in own_parts])
    shared_variance = _total([square for square, _ in shared_parts])
    variance = own_variance + shared_variance
    kurtosis = _total([k * square**2 for square, k in [*own_parts, *shared_parts]]) / variance**2
    factor = _shape_factor(kurtosis)
    expanded = factor * np.sqrt(variance)
    answer = runs.mean(content)
    settled = runs.settled(content, answer, np.sqrt(own_variance * runs.count))
    possible = (answer >= -expanded) & (answer <= 100.0 + expanded)
    rows = np.stack([answer, expanded, np.sqrt(own_variance), np.sqrt(shared_variance), factor], axis=1).tolist()
    usable = (settled & possible & runs.allowed()).tolist()
    return [Figures(*row) if good else None for row, good in zip(rows, usable, strict=True)]


@dataclass(frozen=True, slots=True)
class _Runs:
    """All runs of all tests, one array element a run, with what was measured once for all runs of a test.

    test: whose run it is. count: of the runs of each test; first: which run is its first. reading: the line, or the
    percent; as_asked: whether it was read as the scale has it, and nothing else was. line: in mL.
    """

    test: NDArray[np.intp]
    count: Array
    first: NDArray[np.intp]
    on_volume: NDArray[np.bool_]
    as_asked: NDArray[np.bool_]
    graduation: Array
    water: Array
    fuel: Array
    reading: Array
    line: Array
    top: Array
    given_half_width: Array
    half_step: Array
    line_half_width: Array
    tolerance: Array
    temperature: Array
    degrees: Array
    fuel_water: Array

    @classmethod
    def of(cls, measurements: Sequence[Measurement]) -> "_Runs":
        runs = [run for measurement in measurements for run in measurement.runs]
        count = np.array([len(measurement.runs) for measurement in measurements])
        test = np.repeat(np.arange(len(measurements)), count)
        kind = np.array([_KINDS[measurement.tube.scale] for measurement in measurements])[test]
        graduation = np.array([measurement.tube.graduation for measurement in measurements])[test]
        water, fuel = np.array([run.water for run in runs]), np.array([run.fuel for run in runs])
        reading = np.array([run.percent if run.line is None else run.line for run in runs], dtype=np.float64)
        line = np.where(kind == _KINDS["linear"], water + fuel * reading / 100.0, reading)
        drawn = kind == _KINDS["corrected"]
        line[drawn] = _line_at(reading[drawn] / 100.0, water[drawn], fuel[drawn], DRAWN_AT, 0.0)
        on_volume = kind == _KINDS["volume"]
        half_step = np.where(on_volume, graduation, fuel * graduation / 100.0) / 2.0
        half_width = np.array([run.line_half_width for run in runs], dtype=np.float64)
        by_line = np.array([run.line is not None for run in runs])
        by_percent = np.array([run.percent is not None for run in runs])
        known = [measurement.temperature_measured for measurement in measurements]
        return cls(
            test=test,
            count=count.astype(np.float64),
            first=np.cumsum(count) - count,
            on_volume=on_volume,
            as_asked=(by_line == on_volume) & (by_percent != on_volume),
            graduation=graduation,
            water=water,
            fuel=fuel,
            reading=reading,
            line=line,
            top=np.array([run.top for run in runs], dtype=np.float64),
            given_half_width=half_width,
            half_step=half_step,
            line_half_width=np.where(np.isnan(half_width), half_step, half_width),
            tolerance=np.array([measurement.tube.tolerance or 0.0 for measurement in measurements])[test],
            temperature=np.array([measurement.temperature for measurement in measurements])[test],
            degrees=np.where(known, TEMPERATURE_MEASURED, TEMPERATURE_GUESSED)[test],
            fuel_water=np.array([measurement.fuel_water for measurement in measurements])[test],
        )

    def mean(self, values: Array) -> Array:
        """The mean over each test's runs."""
        return np.bincount(self.test, weights=values) / self.count

    def contents(self) -> Array:
        """Contents in %, all runs at once."""
        return Fillings.of(*self._conditions()).contents(self.line)

    def parts(self, content: Array) -> tuple[list[tuple[Array, float]], list[tuple[Array, Array]]]:
        """Own and shared parts of each run: effect on the content in %, and excess kurtosis."""
        slopes = _slopes_at(content / 100.0, *self._conditions())
        line = 100.0 / slopes.ethanol
        water, fuel = line * slopes.water, line * slopes.fuel
        marks = np.sqrt(line**2 + water**2 + fuel**2)
        flat = np.full(len(line), RECTANGULAR)
        own = [
            (water * self.half_step / sqrt(3.0), RECTANGULAR),
            (fuel * self.half_step / sqrt(3.0), RECTANGULAR),
            (line * self.line_half_width / sqrt(6.0), TRIANGULAR),
        ]
        shared = [
            (marks * self.tolerance / sqrt(3.0), RECTANGULAR * (line**4 + water**4 + fuel**4) / marks**4),
            (line * slopes.fuel_water / 100.0 * FUEL_WATER_HALF_WIDTH / sqrt(3.0), flat),
            (line * slopes.temperature * self.degrees, 0.0 * flat),
            (EXTRACTION_HALF_WIDTH / sqrt(3.0) + 0.0 * flat, flat),
        ]
        return own, shared

    def settled(self, content: Array, answer: Array, budget: Array) -> NDArray[np.bool_]:
        """Whether a test's runs hold ethanol, agree, and from three runs on scatter no more than their budget."""
        off = content - answer[self.test]
        widest, lowest = np.maximum.reduceat(np.abs(off), self.first), np.minimum.reduceat(content, self.first)
        scatter = np.sqrt(self.mean(off**2) * self.count / np.maximum(self.count - 1.0, 1.0))
        agree = 2.0 * widest <= REPEATABILITY * budget
        return (lowest > ALMOST_NOTHING) & agree & ((self.count < 3) | (scatter <= budget))

    def allowed(self) -> NDArray[np.bool_]:
        """Whether all of a test is within `limits`, which tells of any other test what is wrong with it."""
        filled = self.water + self.fuel
        floor, half_width = np.where(self.on_volume, self.line, self.water), self.given_half_width
        lowest, highest = np.where(self.on_volume, [self.water, filled], [[0.0], [100.0]])
        run_allowed = (
            self.as_asked
            & _within(self.temperature, COLDEST, WARMEST)
            & _within(self.fuel_water, *FUEL_WATER)
            & _within(self.graduation, FINEST_STEP, COARSEST_STEP)
            & _within(self.tolerance, 0.0, COARSEST_STEP)
            & _within(self.water, LEAST_FILL, MOST_FILL)
            & _within(self.fuel, LEAST_FILL, MOST_FILL)
            & _within(self.reading, lowest, highest)
            & (np.isnan(half_width) | ((half_width > 0.0) & (half_width <= self.fuel / 4.0)))
            & (np.isnan(self.top) | _within(self.top, floor, OVERFULL * filled))
        )
        return np.logical_and.reduceat(run_allowed, self.first)

    def _conditions(self) -> tuple[Array, Array, Array, Array]:
        return self.water, self.fuel, self.temperature, self.fuel_water / 100.0


def _within(values: Array, least: Array | float, most: Array | float) -> NDArray[np.bool_]:
    return (least <= values) & (values <= most)


def _total(parts: Sequence[Array]) -> Array:
    return cast(Array, np.sum(parts, axis=0))
