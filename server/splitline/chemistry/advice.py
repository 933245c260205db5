"""What would make a result more certain: each action is tried by recomputing the measurement as if it had been done."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

from splitline.chemistry.budget import Figures, Result, result, results
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.chemistry.extraction import Filling, Temperatures
from splitline.chemistry.limits import MOST_RUNS
from splitline.chemistry.measurement import Measurement, Run, ScaleKind, counted
from splitline.chemistry.scale import step_in_millilitres
from splitline.errors import Problem

Act = Literal[
    "know_scale",
    "calibrate_tube",
    "measure_temperature",
    "one_more_run",
    "read_finer",
    "finer_tube",
    "other_filling",
]

MOST_ACTS = 2
# An action that leaves more than this share of the uncertainty is not worth suggesting.
WORTHWHILE = 0.95
# Factor by which an action refines a step.
FINER = 2.0
# Fuel shares of a filling worth trying: a half, a third, a quarter, a fifth, a tenth.
SHARES = (1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 10)
DISAGREEING = ("runs_disagree", "layers_disagree")


@dataclass(frozen=True, slots=True)
class Advice:
    """An action, and the expanded uncertainty (95 %) of the content, %, that it would leave.

    water, fuel: what to fill, mL, where the action is a different filling.
    """

    act: Act
    expanded_uncertainty: float
    water: float | None = None
    fuel: float | None = None


def advice(
    measurement: Measurement, only: Collection[str] | None = None, exchange: Exchange = BUILT_IN
) -> tuple[Advice, ...]:
    """Return up to two actions that would make the result most certain, the best first.

    only, exchange: as in `result`. No advice is given where the runs or the layers contradict each other: the warning
    says what to do first. Raises `Unusable` as `result` does.
    """
    measurement = replace(measurement, runs=counted(measurement))
    found = result(measurement, only, exchange)
    if any(code in DISAGREEING for code in found.warnings):
        return ()
    acts = _acts(measurement, found)
    tried = results([after for _, afters in acts for after in afters], only, exchange)
    left = [(act, _left([tried.pop(0) for _ in afters])) for act, afters in acts]
    left += _other_filling(measurement, found, only, exchange)
    worthwhile = WORTHWHILE * found.expanded_uncertainty
    helping = [replace(one, expanded_uncertainty=u) for one, u in left if u is not None and u <= worthwhile]
    return tuple(sorted(helping, key=lambda one: one.expanded_uncertainty)[:MOST_ACTS])


def per_ten_degrees(measurement: Measurement) -> float:
    """Return by how many points the content changes if the tube is ten degrees Celsius warmer."""
    parts = result(measurement).components
    return sum(10.0 * part.sensitivity for part in parts if part.name == "temperature")


def _other_filling(
    measurement: Measurement, found: Result, only: Collection[str] | None, exchange: Exchange
) -> list[tuple[Advice, float | None]]:
    """The best filling of the same tube, where its marks are volumes, so that other fillings are possible."""
    tube, run = measurement.tube, measurement.runs[0]
    if tube.scale != "volume" or tube.liquid != "water" or any(one.tube for one in measurement.runs):
        return []
    total = run.water + run.fuel
    fills = [(round(total * (1.0 - share), 6), round(total * share, 6)) for share in SHARES]
    fills = [(water, fuel) for water, fuel in fills if _on_a_mark(water, tube.graduation) and fuel != run.fuel]
    tried = [_filled(measurement, found.content, water, fuel) for water, fuel in fills]
    left = [_left([one]) for one in results(tried, only, exchange)]
    least = min((u for u in left if u is not None), default=None)
    best: list[tuple[Advice, float | None]] = [
        (Advice("other_filling", found.expanded_uncertainty, water, fuel), u)
        for u, (water, fuel) in zip(left, fills, strict=True)
        if u is not None and u == least
    ]
    return best[:1]


def _on_a_mark(volume: float, graduation: float) -> bool:
    return abs(volume / graduation - round(volume / graduation)) < 1e-6


def _filled(measurement: Measurement, content: float, water: float, fuel: float) -> Measurement:
    """As many runs in the same tube with another filling; the line, to the nearest mark, is good enough for
    uncertainty.
    """
    temperatures = Temperatures.all_at(measurement.temperature)
    line = float(Filling.of(water, fuel, temperatures, measurement.fuel_water).lines(max(content, 0.0)))
    line = min(line, water + fuel)
    runs = tuple(Run(water, fuel, line, line_half_width=one.line_half_width) for one in measurement.runs)
    return replace(measurement, runs=runs)


def _acts(measurement: Measurement, found: Result) -> list[tuple[Advice, list[Measurement]]]:
    """Each action still possible, with the measurements it may lead to."""
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
    if _guesses(measurement):
        acts.append(("measure_temperature", [_with_thermometer(measurement)]))
    if len(runs) < MOST_RUNS:
        order = sorted(range(len(runs)), key=lambda index: found.runs[index].content)
        like = runs[order[(len(runs) - 1) // 2]]
        acts.append(("one_more_run", [replace(measurement, runs=(*runs, like))]))
    return [(Advice(act, found.expanded_uncertainty), afters) for act, afters in acts]


def _guesses(measurement: Measurement) -> bool:
    """Whether a temperature is a guess: the tube's, or one of what was filled if these are known separately."""
    filled = (measurement.water_temperature, measurement.fuel_temperature)
    measured = (measurement.water_temperature_measured, measurement.fuel_temperature_measured)
    return not measurement.temperature_measured or (filled != (None, None) and not all(measured))


def _with_thermometer(measurement: Measurement) -> Measurement:
    return replace(
        measurement,
        temperature_measured=True,
        water_temperature_measured=True,
        fuel_temperature_measured=True,
    )


def _read_finer(measurement: Measurement, run: Run) -> Run:
    """A run with its line read twice as finely; a run from a photo has its own half-width."""
    half_step = step_in_millilitres(measurement.tube.scale, measurement.tube.graduation, run.fuel) / 2.0
    return replace(run, line_half_width=(run.line_half_width or half_step) / FINER)


def _left(tried: list[Figures | list[Problem]]) -> float | None:
    """The uncertainty that an action leaves at worst; None if it would make the figures impossible."""
    return max((one.expanded_uncertainty for one in tried if isinstance(one, Figures)), default=None)
