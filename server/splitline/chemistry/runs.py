"""All runs of many tests as arrays, one element per run, so that all tests are computed at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import nan
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.calibration import true_volume
from splitline.chemistry.extraction import Temperatures
from splitline.chemistry.measurement import CalibrationMark, Measurement, Run, Tube, counted
from splitline.chemistry.polynomial import Array
from splitline.chemistry.scale import lines_of_readings

Flags = NDArray[np.bool_]


class Tubes(NamedTuple):
    """Properties of tubes, one element per tube or run; see `Tube`. NaN for None."""

    scale: NDArray[np.str_]
    on_volume: Flags
    brine: Flags
    calibrated: Flags
    graduation: Array
    tolerance: Array
    offset: Array
    offset_uncertainty: Array
    offset_content: Array


class Conditions(NamedTuple):
    """Conditions of a test, one element per test or run; see `Measurement`.

    NaN for None; whether a temperature was measured, 1 or 0.
    """

    temperature: Array
    temperature_measured: Array
    fuel_water: Array
    water_temperature: Array
    water_temperature_measured: Array
    fuel_temperature: Array
    fuel_temperature_measured: Array


@dataclass(frozen=True)
class Runs:
    """The runs that count, those of a test adjacent.

    test: index of the run's test. place: its position among all runs of its test. first: index of each test's first
    run; count: how many it has. tube: index of the run's tube. tube_test: index of each tube's test; marks: calibrated
    marks of each tube. tubes: properties of each tube; in_tube: of the tube of each run. tests: conditions of each
    test; at: of each run. water, fuel, line, percent, top, given_half_width: as in `Run`, NaN for None.
    """

    test: NDArray[np.intp]
    place: NDArray[np.intp]
    first: NDArray[np.intp]
    count: Array
    tube: NDArray[np.intp]
    tube_test: NDArray[np.intp]
    marks: Sequence[Sequence[CalibrationMark]]
    tubes: Tubes
    in_tube: Tubes
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
        of_test = [counted(measurement) for measurement in measurements]
        runs = [run for group in of_test for run in group]
        place = [at for one in measurements for at, run in enumerate(one.runs) if not run.set_aside]
        count = np.array([len(group) for group in of_test], dtype=np.intp)
        test = np.repeat(np.arange(len(count)), count)
        tubes, tube, tube_test = _tubes(measurements, of_test)
        known = Tubes(
            np.array([one.scale for one in tubes], dtype=np.str_),
            np.array([one.scale == "volume" for one in tubes], dtype=np.bool_),
            np.array([one.liquid == "brine" for one in tubes], dtype=np.bool_),
            np.array([len(one.calibration) > 0 for one in tubes], dtype=np.bool_),
            *_columns(tubes, "graduation", "tolerance", "offset", "offset_uncertainty", "offset_content"),
        )
        tests = Conditions(*_columns(measurements, *Conditions._fields))
        return cls(
            test,
            np.array(place, dtype=np.intp),
            np.cumsum(count) - count,
            count.astype(np.float64),
            np.array(tube, dtype=np.intp),
            np.array(tube_test, dtype=np.intp),
            [one.calibration for one in tubes],
            known,
            known if tube == list(range(len(tubes))) else Tubes._make(values[tube] for values in known),
            tests,
            tests if len(measurements) == len(runs) else Conditions._make(values[test] for values in tests),
            *_columns(runs, "water", "fuel", "line", "percent", "top", "line_half_width"),
        )

    @cached_property
    def apart(self) -> Flags:
        """Whether a temperature of the filling is known; if not, it is the tube's when read."""
        return ~(np.isnan(self.at.water_temperature) & np.isnan(self.at.fuel_temperature))

    @cached_property
    def temperatures(self) -> Temperatures:
        """The temperatures of each run: if only one of water and fuel is known, the other equals it."""
        read, water, fuel = self.at.temperature, self.at.water_temperature, self.at.fuel_temperature
        if not self.apart.any():
            return Temperatures.all_at(read)
        filled = np.where(self.apart, np.where(np.isnan(water), fuel, water), read)
        return Temperatures(filled, np.where(np.isnan(fuel), filled, fuel), read)

    @property
    def share(self) -> Array:
        """The fuel's share of the filling; NaN for an empty one."""
        total = self.water + self.fuel
        return np.divide(self.fuel, total, out=np.full_like(total, nan), where=total != 0.0)

    @cached_property
    def reading(self) -> Array:
        """The line as read: mL on a volume scale, else printed percent."""
        return np.where(self.in_tube.on_volume, self.line, self.percent)

    @cached_property
    def half_step(self) -> Array:
        """Half the smallest step of the scale, mL."""
        return (
            np.where(self.in_tube.on_volume, self.in_tube.graduation, self.fuel * self.in_tube.graduation / 100.0) / 2.0
        )

    @property
    def half_width(self) -> Array:
        """Half-width of the line, mL: half a step if none is given."""
        return np.where(np.isnan(self.given_half_width), self.half_step, self.given_half_width)

    def lines(self) -> Array:
        """Return the lines as read, mL; for an unknown scale two rows, as on a linear and as on a corrected one."""
        unknown = self.in_tube.scale == "unknown"
        kinds = (
            np.where(unknown, [["linear"], ["corrected"]], self.in_tube.scale)
            if unknown.any()
            else self.in_tube.scale[None]
        )
        return lines_of_readings(kinds, self.reading, self.water, self.fuel)

    def true(self, lines: Array) -> tuple[Array, Array, Array]:
        """Return the true volumes in mL: lower layer, [kind of scale, run], water, and fuel (between two marks)."""
        lines, water, fuel = lines.copy(), self.water.copy(), self.fuel.copy()
        for tube in np.flatnonzero(self.tubes.calibrated).tolist():
            runs, marks = self.tube == tube, self.marks[tube]
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


def _tubes(
    measurements: Sequence[Measurement], runs: Sequence[Sequence[Run]]
) -> tuple[list[Tube], list[int], list[int]]:
    """The tubes, the test's main tube first; the tube of each run, and the test of each tube."""
    tubes: list[Tube] = []
    of_run: list[int] = []
    of_test: list[int] = []
    for test, (measurement, group) in enumerate(zip(measurements, runs, strict=True)):
        first = len(tubes)
        tubes.append(measurement.tube)
        of_test.append(test)
        for run in group:
            if run.tube is None:
                of_run.append(first)
                continue
            if run.tube not in tubes[first:]:
                tubes.append(run.tube)
                of_test.append(test)
            of_run.append(tubes.index(run.tube, first))
    return tubes, of_run, of_test


def _columns(of: Sequence[object], *names: str) -> Array:
    """Numbers by name, a row each; None becomes NaN."""
    columns = [list(map(attrgetter(name), of)) for name in names]
    # numpy is slow with None, and optional fields are mostly left out in every run.
    nothing = [nan] * len(of)
    return np.array([nothing if values.count(None) == len(of) else values for values in columns], dtype=np.float64)
