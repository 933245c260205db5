"""All runs of many tests as arrays, an element a run: what is worked out for one test is worked out for all at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import nan
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.calibration import true_volume
from splitline.chemistry.measurement import CalibrationMark, Measurement
from splitline.chemistry.polynomial import Array
from splitline.chemistry.scale import lines_of_readings

Flags = NDArray[np.bool_]


class Conditions(NamedTuple):
    """What is measured once for all runs of a test, an element a test or a run; see `Tube` and `Measurement`.

    tolerance: NaN for None. measured: whether the temperature was, 1 or 0.
    """

    scale: NDArray[np.str_]
    on_volume: Flags
    brine: Flags
    calibrated: Flags
    graduation: Array
    tolerance: Array
    offset: Array
    offset_uncertainty: Array
    temperature: Array
    measured: Array
    fuel_water: Array


@dataclass(frozen=True)
class Runs:
    """Runs, those of a test side by side.

    test: whose run it is. first: which run is each test's first; count: how many it has. marks: calibrated ones of each
    test's tube. tests: the conditions of each test; at: those of each run. water, fuel, line, percent, top,
    given_half_width: as in `Run`, NaN for None.
    """

    test: NDArray[np.intp]
    first: NDArray[np.intp]
    count: Array
    marks: Sequence[Sequence[CalibrationMark]]
    tests: Conditions
    at: Conditions
    water: Array
    fuel: Array
    line: Array
    percent: Array
    top: Array
    given_half_width: Array

    @classmethod
    def of(cls, measurements: Sequence[Measurement]) -> "Runs":
        """Return the runs of some measurements."""
        tubes = [measurement.tube for measurement in measurements]
        count = np.array([len(measurement.runs) for measurement in measurements], dtype=np.intp)
        test = np.repeat(np.arange(len(count)), count)
        tests = Conditions(
            np.array([tube.scale for tube in tubes], dtype="U9"),
            np.array([tube.scale == "volume" for tube in tubes], dtype=np.bool_),
            np.array([tube.liquid == "brine" for tube in tubes], dtype=np.bool_),
            np.array([len(tube.calibration) > 0 for tube in tubes], dtype=np.bool_),
            *_columns(tubes, "graduation", "tolerance", "offset", "offset_uncertainty"),
            *_columns(measurements, "temperature", "temperature_measured", "fuel_water"),
        )
        runs = [run for measurement in measurements for run in measurement.runs]
        return cls(
            test,
            np.cumsum(count) - count,
            count.astype(np.float64),
            [tube.calibration for tube in tubes],
            tests,
            Conditions._make(values[test] for values in tests),
            *_columns(runs, "water", "fuel", "line", "percent", "top", "line_half_width"),
        )

    @cached_property
    def reading(self) -> Array:
        """The line as read: mL on a volume scale, else printed percent."""
        return np.where(self.at.on_volume, self.line, self.percent)

    @cached_property
    def half_step(self) -> Array:
        """Half the smallest step of the scale, mL."""
        return np.where(self.at.on_volume, self.at.graduation, self.fuel * self.at.graduation / 100.0) / 2.0

    @property
    def half_width(self) -> Array:
        """How far the line may be from the reading, mL: half a step where nothing else is given."""
        return np.where(np.isnan(self.given_half_width), self.half_step, self.given_half_width)

    def lines(self) -> Array:
        """Return the lines as read, mL; two rows where a scale is unknown, as on a linear and as on a corrected one."""
        unknown = self.at.scale == "unknown"
        kinds = np.where(unknown, [["linear"], ["corrected"]], self.at.scale) if unknown.any() else self.at.scale[None]
        return lines_of_readings(kinds, self.reading, self.water, self.fuel)

    def true(self, lines: Array) -> tuple[Array, Array, Array]:
        """Return the true volumes in mL: lower layer, [kind of scale, run], water, and fuel, between two marks."""
        lines, water, fuel = lines.copy(), self.water.copy(), self.fuel.copy()
        for test in np.flatnonzero(self.tests.calibrated).tolist():
            runs, marks = self.test == test, self.marks[test]
            filled = true_volume(water[runs] + fuel[runs], marks)
            lines[:, runs] = true_volume(lines[:, runs], marks)
            water[runs] = true_volume(water[runs], marks)
            fuel[runs] = filled - water[runs]
        return lines, water, fuel

    def mean(self, values: Array, weights: Array | None = None) -> Array:
        """Return the mean over each test's runs, weighted if weights are given; the last axis is that of the runs."""
        if weights is None:
            return np.add.reduceat(values, self.first, axis=-1) / self.count
        return np.add.reduceat(values * weights, self.first) / np.add.reduceat(weights, self.first)


def _columns(of: Sequence[object], *names: str) -> Array:
    """Numbers by name, a row each; None becomes NaN."""
    columns = [list(map(attrgetter(name), of)) for name in names]
    # numpy takes its time over None, and most of what may be left out is left out by everybody.
    nothing = [nan] * len(of)
    return np.array([nothing if values.count(None) == len(of) else values for values in columns], dtype=np.float64)
