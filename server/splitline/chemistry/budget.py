"""The result of a test: content, expanded uncertainty, the steps that led to it and what dominates (JCGM 100).

Many tests are computed at once, on arrays; a single one is a batch of one, with its steps and components.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from splitline.chemistry.combined import Combined, combine
from splitline.chemistry.components import Components, Scope, components, slopes_of, top_difference_uncertainty
from splitline.chemistry.coverage import GAUSSIAN, NORMAL
from splitline.chemistry.exchange import BUILT_IN, HIGHEST, Exchange, Exchanged
from splitline.chemistry.extraction import Sensitivities, content_of_top, strength
from splitline.chemistry.freezing import freezes
from splitline.chemistry.limits import STRONGEST_BRINE, problems
from splitline.chemistry.measurement import Measurement
from splitline.chemistry.polynomial import Array
from splitline.chemistry.runs import Runs
from splitline.chemistry.steps import EVERY, LAST, contents_after, exchanged
from splitline.errors import Problem, Unusable

# Version of this model, stored with every figure. Version 1 took one temperature for everything and left out exchange.
MODEL = 2


class Figures(NamedTuple):
    """A test's result without its steps, in % (V/V); own and shared are standard uncertainties."""

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
    scope: Scope

    @property
    def shared(self) -> bool:
        """Whether it is the same in another run in the same tube."""
        return self.scope != "run"

    @property
    def contribution(self) -> float:
        """Standard uncertainty of the content from this component alone, %."""
        return abs(self.sensitivity) * self.uncertainty


@dataclass(frozen=True, slots=True)
class Step:
    """One correction between the line as read and the content, % (V/V)."""

    name: str
    change: float


@dataclass(frozen=True, slots=True)
class RunResult:
    """One run: content and own standard uncertainty in %, content from the fuel's top where it was read."""

    content: float
    own_uncertainty: float
    as_read: float
    steps: tuple[Step, ...]
    components: tuple[Component, ...]
    top_content: float | None
    layers_agree: bool | None


@dataclass(frozen=True, slots=True)
class Result:
    """The content of a sample and how it was derived, % (V/V).

    expanded_uncertainty: 95 % coverage, coverage_factor times the root of the squared own and shared parts.
    own_uncertainty: standard, the part that is independent in another test. shared_uncertainty: standard, the part that
    is the same at every test in this tube. span: the two contents that an unknown scale may mean.
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
    """Intermediate results of some tests.

    lines: as read, mL, [kind of scale, run]. after_steps, exchanged, contents, content: %, [step, kind of scale, run],
    [kind of scale, run] (two of them) and [run]. slopes: of the first kind.
    """

    runs: Runs
    lines: Array
    after_steps: Array
    exchanged: Exchanged
    contents: Array
    slopes: Sensitivities
    content: Array
    components: Components
    combined: Combined


def results(
    measurements: Sequence[Measurement], only: Collection[str] | None = None, exchange: Exchange = BUILT_IN
) -> list[Figures | list[Problem]]:
    """Return the figures of each test, in order, or everything that makes it impossible; arguments as in `result`."""
    runs = Runs.of(measurements)
    found = problems(runs)
    if found:
        runs = Runs.of([one for test, one in enumerate(measurements) if test not in found])
    answers = iter(_figures(_evaluate(runs, only, exchange, LAST)))
    return [found[test] if test in found else next(answers) for test in range(len(measurements))]


def result(measurement: Measurement, only: Collection[str] | None = None, exchange: Exchange = BUILT_IN) -> Result:
    """Return the result of a measurement.

    only: names of the components to count, for studies; None for all. exchange: table of exchange between the layers.
    Raises `Unusable` with every problem when an input is out of its range, the content is outside 0..100 % by more than
    its uncertainty, or the method does not apply: brine above 30 %, water above 98 %.
    """
    runs = Runs.of([measurement])
    found = problems(runs)
    if found:
        raise Unusable(found[0])
    evaluated = _evaluate(runs, only, exchange, EVERY)
    [figures] = _figures(evaluated)
    if isinstance(figures, list):
        raise Unusable(figures)
    return _full(evaluated, figures, only)


def _evaluate(runs: Runs, only: Collection[str] | None, exchange: Exchange, steps: slice) -> _Evaluated:
    lines, tube = runs.lines(), runs.in_tube
    after_steps = contents_after(steps, runs, lines)
    after_exchange = exchanged(runs, after_steps[-1], exchange)
    contents = after_exchange.content + np.where(tube.offset_uncertainty > 0.0, tube.offset, 0.0)
    slopes, content = slopes_of(runs, after_steps[-1, 0], after_exchange.slope[0]), contents.mean(axis=0)
    parts = components(runs, contents, slopes, after_exchange.uncertainty.mean(axis=0), only)
    combined = combine(runs, content, parts)
    return _Evaluated(runs, lines, after_steps, after_exchange, contents, slopes, content, parts, combined)


def _figures(evaluated: _Evaluated) -> list[Figures | list[Problem]]:
    """The figures of each test; a problem if the content is outside 0..100 % by more than its uncertainty.

    Or if the method does not apply: with water, no upper layer is left to read above 98 %; brine's standard covers up
    to about 30 %.
    """
    runs, combined = evaluated.runs, evaluated.combined
    found: list[Figures | list[Problem]] = list(
        map(Figures, *(getattr(combined, name).tolist() for name in Figures._fields))
    )
    content, low, high = combined.content, -combined.expanded_uncertainty, 100.0 + combined.expanded_uncertainty
    brine = runs.in_tube.brine[runs.first]
    highest = np.where(brine, STRONGEST_BRINE + combined.expanded_uncertainty, HIGHEST)
    for test in np.flatnonzero(~((low <= content) & (content <= np.minimum(high, highest)))).tolist():
        code, limit = "content_impossible", f"{low[test]:.1f}..{high[test]:.1f}"
        if low[test] <= content[test] <= high[test]:
            code, limit = (
                ("brine_strong", f"{STRONGEST_BRINE:g}") if brine[test] else ("no_upper_layer", f"{HIGHEST:g}")
            )
        # Rounded half up, as on the phone, with enough digits that brine's round contents are never halves.
        found[test] = [Problem(code, "runs", f"{np.floor(1000.0 * content[test] + 0.5) / 1000.0:g}", limit)]
    return found


def _full(evaluated: _Evaluated, figures: Figures, only: Collection[str] | None) -> Result:
    runs, combined = evaluated.runs, evaluated.combined
    on_volume = runs.in_tube.on_volume
    as_read = np.where(on_volume, 100.0 * (evaluated.lines[0] - runs.water) / runs.fuel, runs.reading)
    changes = _changes(evaluated, as_read)
    each = _runs(evaluated, as_read, changes)
    [parts], [scatter] = _components(combined.components), combined.scatter.tolist()
    unknown = bool((runs.in_tube.scale == "unknown").any())
    return Result(
        *figures,
        as_read=runs.mean(as_read, combined.weights).item(),
        steps=tuple(Step(name, runs.mean(change, combined.weights).item()) for name, change in changes.items()),
        runs=each,
        components=(*parts, Component("scatter", scatter, 1.0, GAUSSIAN, "run")) if scatter > 0.0 else parts,
        repeatability_limit=combined.repeatability_limit.item(),
        warnings=_warnings(evaluated, each, unknown),
        span=_span(evaluated, only) if unknown else None,
    )


def _changes(evaluated: _Evaluated, as_read: Array) -> dict[str, Array]:
    """The change from each correction in each run; the marks' and the tube's own only where they are known."""
    after, tube = evaluated.after_steps, evaluated.runs.in_tube
    before = np.concatenate([np.broadcast_to(as_read, after[:1].shape), after[:-1]])
    first, calibration, temperature, fuel_water = (after - before).mean(axis=1)
    brine = bool(tube.brine.all())
    changes = {"method" if brine else "shrinkage": first}
    if tube.calibrated.any():
        changes["calibration"] = calibration
    if not brine:
        exchange = (evaluated.exchanged.content - after[-1]).mean(axis=0)
        changes |= {"temperature": temperature, "fuel_water": fuel_water, "exchange": exchange}
    if (tube.offset_uncertainty > 0.0).any():
        changes["tube_offset"] = np.where(tube.offset_uncertainty > 0.0, tube.offset, 0.0)
    return changes


def _runs(evaluated: _Evaluated, as_read: Array, changes: dict[str, Array]) -> tuple[RunResult, ...]:
    own = np.sqrt(evaluated.components.variance("run"))
    steps = [tuple(map(Step, changes, each)) for each in np.array(list(changes.values())).T.tolist()]
    columns = [values.tolist() for values in (evaluated.content, own, as_read)]
    return tuple(
        map(RunResult, *columns, steps, _components(evaluated.components), *zip(*_by_the_top(evaluated), strict=True))
    )


def _components(found: Components) -> list[tuple[Component, ...]]:
    """The components of each run or test; other tubes in the same test may have more."""
    one_unit = np.where(found.uncertainty > 0.0, found.uncertainty, 1.0)
    numbers = np.stack([found.uncertainty, found.effect / one_unit, found.kurtosis], axis=-1).swapaxes(0, 1)
    return [
        tuple(
            Component(name, u, s, k, scope)
            for name, (u, s, k), scope in zip(found.names, rows, found.scopes, strict=True)
            if u > 0.0
        )
        for rows in numbers.tolist()
    ]


def _by_the_top(evaluated: _Evaluated) -> list[tuple[float, bool] | tuple[None, None]]:
    """The content from each fuel's top, and whether it agrees; the fuel's water has left the top layer too.

    Exchange between the layers shifts both alike: it is subtracted from both and cancels in their difference.
    """
    runs, content = evaluated.runs, evaluated.contents[0]
    exchange = evaluated.exchanged.content[0] - evaluated.after_steps[-1, 0]
    by_top = content_of_top(evaluated.lines[0], runs.top, runs.fuel) + exchange
    water = np.where(runs.in_tube.brine, 0.0, runs.at.fuel_water)
    limit = NORMAL * top_difference_uncertainty(runs, content, evaluated.slopes)
    agree = np.abs(content + water - by_top) <= limit
    rows = zip(np.isnan(runs.top).tolist(), by_top.tolist(), agree.tolist(), strict=True)
    return [(None, None) if unread else (top_content, agrees) for unread, top_content, agrees in rows]


def _warnings(evaluated: _Evaluated, each: Sequence[RunResult], unknown: bool) -> tuple[str, ...]:
    runs = evaluated.runs
    disagree = "runs_disagree" if len(each) < 3 else "median_counts"
    layers = any(run.layers_agree is False for run in each)
    strengths = strength(evaluated.content, runs.water, runs.fuel, runs.temperatures, runs.at.fuel_water)
    frozen = bool((~runs.in_tube.brine & freezes(strengths, runs.at.temperature)).any())
    given = {
        disagree: not evaluated.combined.agree.item(),
        "layers_disagree": layers,
        "scale_unknown": unknown,
        "would_freeze": frozen,
    }
    return tuple(code for code, there in given.items() if there)


def _span(evaluated: _Evaluated, only: Collection[str] | None) -> tuple[float, float]:
    """The contents if the scale were of either kind, in order."""
    runs, contents = evaluated.runs, evaluated.contents
    uncertainty = evaluated.exchanged.uncertainty
    ends = []
    for kind in (0, 1):
        slopes = slopes_of(runs, evaluated.after_steps[-1, kind], evaluated.exchanged.slope[kind])
        parts = components(runs, contents[[kind]], slopes, uncertainty[kind], only)
        ends.append(combine(runs, contents[kind], parts).content.item())
    return min(ends), max(ends)
