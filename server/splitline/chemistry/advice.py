"""What would make a result better: each act is tried by computing the measurement again as if it had been done."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

from splitline.chemistry.budget import Figures, Result, result, results
from splitline.chemistry.extraction import brine_line, line_of_content
from splitline.chemistry.limits import MOST_RUNS
from splitline.chemistry.measurement import Measurement, Run, ScaleKind
from splitline.chemistry.scale import Scale, step_in_millilitres
from splitline.errors import Problem

Act = Literal["know_scale", "calibrate_tube", "measure_temperature", "one_more_run", "read_finer", "finer_tube"]

MOST_ACTS = 2
# An act that leaves more than this share of the uncertainty is not worth a sentence.
WORTHWHILE = 0.95
# Where an act means "twice as finely".
FINER = 2.0
# Above this share of ethanol, by volume, the lower layer dissolves hydrocarbons. Read from the abstracts of Heermann
# and Powers, J. Contam. Hydrol. 34 (1998) 315, and Spidle, Carey and Weaver (US EPA, 2012), which print no bound.
STRONG = 0.5
DISAGREEING = ("runs_disagree", "layers_disagree")


@dataclass(frozen=True, slots=True)
class Advice:
    """An act, and the expanded uncertainty (95 %) of the content, %, that it would leave."""

    act: Act
    expanded_uncertainty: float


def advice(measurement: Measurement, only: Collection[str] | None = None) -> tuple[Advice, ...]:
    """Return the acts, two at most, that would make the result surest, the best first.

    only: as in `result`. Nothing is advised where the runs or the layers contradict each other: the warning says what
    to do first. Raises `Unusable` as `result` does.
    """
    found = result(measurement, only)
    if any(code in DISAGREEING for code in found.warnings):
        return ()
    acts = _acts(measurement, found)
    tried = results([after for _, afters in acts for after in afters], only)
    left = [(act, _left([tried.pop(0) for _ in afters])) for act, afters in acts]
    helping = [Advice(act, u) for act, u in left if u is not None and u <= WORTHWHILE * found.expanded_uncertainty]
    return tuple(sorted(helping, key=lambda one: one.expanded_uncertainty)[:MOST_ACTS])


def per_ten_degrees(measurement: Measurement) -> float:
    """Return by how many points the content changes for ten degrees Celsius more in the tube."""
    parts = result(measurement).components
    return sum(10.0 * part.sensitivity for part in parts if part.name == "temperature")


def strong_layer(measurement: Measurement) -> bool:
    """Return whether the lower layer of a run is more than half ethanol, so that it dissolves hydrocarbons."""
    contents = (run.content for run in result(measurement).runs)
    return any(_share(measurement, *pair) > STRONG for pair in zip(measurement.runs, contents, strict=True))


def _acts(measurement: Measurement, found: Result) -> list[tuple[Act, list[Measurement]]]:
    """Each act that is left to do, with the measurements it may lead to."""
    tube, runs = measurement.tube, measurement.runs
    kinds: tuple[ScaleKind, ...] = ("linear", "corrected")
    acts: list[tuple[Act, list[Measurement]]] = [
        ("read_finer", [replace(measurement, runs=tuple(_read_finer(measurement, run) for run in runs))]),
        ("finer_tube", [replace(measurement, tube=replace(tube, graduation=tube.graduation / FINER))]),
    ]
    if tube.scale == "unknown":
        acts.append(("know_scale", [replace(measurement, tube=replace(tube, scale=kind)) for kind in kinds]))
    if tube.tolerance and not tube.calibration:
        acts.append(("calibrate_tube", [replace(measurement, tube=replace(tube, tolerance=None))]))
    if not measurement.temperature_measured:
        acts.append(("measure_temperature", [replace(measurement, temperature_measured=True)]))
    if len(runs) < MOST_RUNS:
        order = sorted(range(len(runs)), key=lambda index: found.runs[index].content)
        like = runs[order[(len(runs) - 1) // 2]]
        acts.append(("one_more_run", [replace(measurement, runs=(*runs, like))]))
    return acts


def _read_finer(measurement: Measurement, run: Run) -> Run:
    """A run whose line was read twice as finely; a run from a photo has its own half-width."""
    scale: Scale = "volume" if measurement.tube.scale == "volume" else "linear"
    half_step = step_in_millilitres(scale, measurement.tube.graduation, run.fuel) / 2.0
    return replace(run, line_half_width=(run.line_half_width or half_step) / FINER)


def _left(tried: list[Figures | list[Problem]]) -> float | None:
    """The uncertainty that an act leaves at worst; None when it would show the figures to be impossible."""
    return max((one.expanded_uncertainty for one in tried if isinstance(one, Figures)), default=None)


def _share(measurement: Measurement, run: Run, content: float) -> float:
    """Ethanol's share of the lower layer, volume by volume at the tube's temperature."""
    if measurement.tube.liquid == "brine":
        line = brine_line(content, run.water, run.fuel)
    else:
        line = line_of_content(content, run.water, run.fuel, measurement.temperature, measurement.fuel_water)
    return content / 100.0 * run.fuel / line
