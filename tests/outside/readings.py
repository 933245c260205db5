"""Turns what a person in `tube_world` saw into the product's input, and judges the product's results."""

from dataclasses import dataclass

import numpy as np

from outside.tube_world import SOURCES, Array, Trial, lines_seen
from splitline.chemistry.budget import Figures, results
from splitline.chemistry.measurement import CalibrationMark, Measurement, Run, Tube


@dataclass(frozen=True)
class Judged:
    """Errors of the content and expanded uncertainties, points, one per draw."""

    error: Array
    expanded: Array

    @property
    def coverage(self) -> float:
        return float(np.mean(np.abs(self.error) <= self.expanded))

    @property
    def ratio(self) -> float:
        """The U of an ordinary test divided by the half-width that contains 95 % of the errors (JCGM 101)."""
        return float(np.median(self.expanded) / np.quantile(np.abs(self.error), 0.95))


def tubes_of(trial: Trial) -> list[Tube]:
    """The tubes as their owner knows them; tiny different offsets tell equal tubes apart."""
    marks = tuple(CalibrationMark(at, at) for at in (trial.water, trial.total)) if trial.weighed else ()
    return [
        Tube("volume", trial.step, tolerance=trial.tolerance, calibration=marks, offset=1e-9 * index)
        for index in range(trial.tubes)
    ]


def measurements(trial: Trial, lines: Array) -> list[Measurement]:
    """The tests as entered, one per row of lines."""
    tubes, (water_at, fuel_at) = tubes_of(trial), trial.filled or (None, None)
    water, fuel, of_run = trial.water, trial.fuel, [tubes[at] if at else None for at in trial.of_tube]
    return [
        Measurement(
            tubes[0],
            tuple([Run(water, fuel, one, tube=tube) for tube, one in zip(of_run, seen, strict=True)]),
            trial.read,
            trial.thermometer,
            0.5,
            water_at,
            trial.filled_thermometer,
            fuel_at,
            trial.filled_thermometer,
        )
        for seen in lines.tolist()
    ]


def judged(trial: Trial, draws: int, sources: tuple[str, ...] = SOURCES, seed: int = 1) -> Judged:
    """Return the product's errors in a trial and its stated uncertainties."""
    found = results(measurements(trial, lines_seen(trial, draws, sources, seed)), only=sources)
    figures = np.array([one[:2] for one in found if isinstance(one, Figures)])
    assert len(figures) > 0.995 * draws, next(one for one in found if isinstance(one, list))
    return Judged(figures[:, 0] - trial.content, figures[:, 1])
