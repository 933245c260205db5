"""The result of a test: content, expanded uncertainty, the steps that made it and what dominates (JCGM 100).

Many tests are worked out at once, on arrays; a single one is a batch of one, with its steps and components.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from splitline.chemistry.combined import Combined, combine
from splitline.chemistry.components import Components, components, slopes_of, top_difference_uncertainty
from splitline.chemistry.coverage import GAUSSIAN, NORMAL
from splitline.chemistry.extraction import Sensitivities, content_of_top
from splitline.chemistry.limits import problems
from splitline.chemistry.measurement import Measurement, Tube
from splitline.chemistry.polynomial import Array
from splitline.chemistry.runs import Runs
from splitline.chemistry.steps import EVERY, LAST, contents_after
from splitline.errors import Problem, Unusable


class Figures(NamedTuple):
    """A test's result without its steps: % (V/V); own and shared are standard uncertainties."""

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float


@dataclass(frozen=True, slots=True)
class Component:
    """One source of uncertainty of one run, or of the content; see `Components`."""

    name: str
    uncertainty: float
    sensitivity: float
    kurtosis: float
    shared: bool

    @property
    def contribution(self) -> float:
        """Standard uncertainty of the content from this component alone, %."""
        return abs(self.sensitivity) * self.uncertainty


@dataclass(frozen=True, slots=True)
class Step:
    """One correction on the way from the line as read to the content, % (V/V)."""

    name: str
    change: float


@dataclass(frozen=True, slots=True)
class RunResult:
    """One run: content and own standard uncertainty in %, content by the fuel's top where it was read."""

    content: float
    own_uncertainty: float
    as_read: float
    steps: tuple[Step, ...]
    components: tuple[Component, ...]
    top_content: float | None
    layers_agree: bool | None


@dataclass(frozen=True, slots=True)
class Result:
    """The content of a sample and everything that made it, % (V/V).

    expanded_uncertainty: 95 % coverage, coverage_factor times the root of the squared own and shared parts.
    own_uncertainty: standard, the part that another test would draw afresh. shared_uncertainty: standard, the part that
    is the same at every test in this tube. span: the two readings an unknown scale may mean.
    """

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float
    as_read: float
    steps: tuple[Step, ...]
    runs: tuple[RunResult, ...]
    components: tuple[Component, ...]
    repeatability_limit: float
    warnings: tuple[str, ...]
    span: tuple[float, float] | None = None


class _Evaluated(NamedTuple):
    """What was worked out of some tests.

    lines: as read, mL, [kind of scale, run]. after_steps, contents, content: %, [step, kind of scale, run], [kind of
    scale, run] and [run]. slopes: of the first kind.
    """

    runs: Runs
    lines: Array
    after_steps: Array
    contents: Array
    slopes: Sensitivities
    content: Array
    components: Components
    combined: Combined


def results(measurements: Sequence[Measurement], only: Collection[str] | None = None) -> list[Figures | list[Problem]]:
    """Return the figures of each test, in order, or everything that makes it impossible; `only` as in `result`."""
    runs = Runs.of(measurements)
    found = problems(runs)
    if found:
        runs = Runs.of([one for test, one in enumerate(measurements) if test not in found])
    answers = iter(_figures(_evaluate(runs, only, LAST).combined))
    return [found[test] if test in found else next(answers) for test in range(len(measurements))]


def result(measurement: Measurement, only: Collection[str] | None = None) -> Result:
    """Return the result of a measurement.

    only: names of the components to take into account, for studies; all when None. Raises `Unusable` with every
    problem when an input is out of its range or the content lies outside 0..100 % by more than its uncertainty.
    """
    runs = Runs.of([measurement])
    found = problems(runs)
    if found:
        raise Unusable(found[0])
    evaluated = _evaluate(runs, only, EVERY)
    [figures] = _figures(evaluated.combined)
    if isinstance(figures, list):
        raise Unusable(figures)
    return _full(measurement.tube, evaluated, figures, only)


def _evaluate(runs: Runs, only: Collection[str] | None, steps: slice) -> _Evaluated:
    lines, at = runs.lines(), runs.at
    after_steps = contents_after(steps, runs, lines)
    contents = after_steps[-1] + np.where(at.offset_uncertainty > 0.0, at.offset, 0.0)
    slopes, content = slopes_of(runs, contents[0]), contents.mean(axis=0)
    parts = components(runs, contents, slopes, only)
    return _Evaluated(runs, lines, after_steps, contents, slopes, content, parts, combine(runs, content, parts))


def _figures(combined: Combined) -> list[Figures | list[Problem]]:
    """The figures of each test; a problem where the content is outside 0..100 % by more than its uncertainty."""
    found: list[Figures | list[Problem]] = list(
        map(Figures, *(getattr(combined, name).tolist() for name in Figures._fields))
    )
    low, high = -combined.expanded_uncertainty, 100.0 + combined.expanded_uncertainty
    for test in np.flatnonzero(~((low <= combined.content) & (combined.content <= high))).tolist():
        limit = f"{low[test]:.1f}..{high[test]:.1f}"
        found[test] = [Problem("content_impossible", "runs", f"{combined.content[test]:.1f}", limit)]
    return found


def _full(tube: Tube, evaluated: _Evaluated, figures: Figures, only: Collection[str] | None) -> Result:
    runs, combined = evaluated.runs, evaluated.combined
    as_read = np.where(runs.at.on_volume, 100.0 * (evaluated.lines[0] - runs.water) / runs.fuel, runs.reading)
    changes = _changes(tube, as_read, evaluated.after_steps)
    each = _runs(evaluated, as_read, changes)
    [parts], [scatter] = _components(combined.components), combined.scatter.tolist()
    return Result(
        *figures,
        as_read=runs.mean(as_read, combined.weights).item(),
        steps=tuple(Step(name, runs.mean(change, combined.weights).item()) for name, change in changes.items()),
        runs=each,
        components=(*parts, Component("scatter", scatter, 1.0, GAUSSIAN, False)) if scatter > 0.0 else parts,
        repeatability_limit=combined.repeatability_limit.item(),
        warnings=_warnings(each, combined.agree.item(), tube.scale == "unknown"),
        span=_span(evaluated, only) if tube.scale == "unknown" else None,
    )


def _changes(tube: Tube, as_read: Array, after: Array) -> dict[str, Array]:
    """What each correction changes in each run; the marks' and the tube's own only where they are known."""
    before = np.concatenate([np.broadcast_to(as_read, after[:1].shape), after[:-1]])
    first, calibration, temperature, fuel_water = (after - before).mean(axis=1)
    brine = tube.liquid == "brine"
    changes = {"method" if brine else "shrinkage": first}
    if tube.calibration:
        changes["calibration"] = calibration
    if not brine:
        changes |= {"temperature": temperature, "fuel_water": fuel_water}
    if tube.offset_uncertainty > 0.0:
        changes["tube_offset"] = np.full_like(as_read, tube.offset)
    return changes


def _runs(evaluated: _Evaluated, as_read: Array, changes: dict[str, Array]) -> tuple[RunResult, ...]:
    own = np.sqrt(evaluated.components.variance(shared=False))
    steps = [tuple(map(Step, changes, each)) for each in np.array(list(changes.values())).T.tolist()]
    columns = [values.tolist() for values in (evaluated.content, own, as_read)]
    return tuple(
        map(RunResult, *columns, steps, _components(evaluated.components), *zip(*_by_the_top(evaluated), strict=True))
    )


def _components(found: Components) -> list[tuple[Component, ...]]:
    """The components of each run or test."""
    numbers = np.stack([found.uncertainty, found.effect / found.uncertainty, found.kurtosis], axis=-1).swapaxes(0, 1)
    shared = found.shared[:, 0].tolist()
    return [
        tuple(Component(name, u, s, k, one) for name, (u, s, k), one in zip(found.names, rows, shared, strict=True))
        for rows in numbers.tolist()
    ]


def _by_the_top(evaluated: _Evaluated) -> list[tuple[float, bool] | tuple[None, None]]:
    """The content by each fuel's top, and whether it agrees; the fuel's water has left the top layer too."""
    runs, content = evaluated.runs, evaluated.contents[0]
    by_top = content_of_top(evaluated.lines[0], runs.top, runs.fuel)
    water = np.where(runs.at.brine, 0.0, runs.at.fuel_water)
    limit = NORMAL * top_difference_uncertainty(runs, content, evaluated.slopes)
    agree = np.abs(content + water - by_top) <= limit
    rows = zip(np.isnan(runs.top).tolist(), by_top.tolist(), agree.tolist(), strict=True)
    return [(None, None) if unread else (top_content, agrees) for unread, top_content, agrees in rows]


def _warnings(runs: Sequence[RunResult], agree: bool, unknown: bool) -> tuple[str, ...]:
    disagree = "runs_disagree" if len(runs) < 3 else "median_counts"
    layers = any(run.layers_agree is False for run in runs)
    given = {disagree: not agree, "layers_disagree": layers, "scale_unknown": unknown}
    return tuple(code for code, there in given.items() if there)


def _span(evaluated: _Evaluated, only: Collection[str] | None) -> tuple[float, float]:
    """The contents if the scale were of the one kind and of the other, in order."""
    runs, contents = evaluated.runs, evaluated.contents
    parts = [components(runs, contents[[kind]], slopes_of(runs, contents[kind]), only) for kind in (0, 1)]
    ends = sorted(combine(runs, contents[kind], parts[kind]).content.item() for kind in (0, 1))
    return ends[0], ends[1]
