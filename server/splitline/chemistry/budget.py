"""The result of a test: content, expanded uncertainty, the steps that made it and what dominates (JCGM 100)."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from math import inf, sqrt
from statistics import fmean, stdev

from splitline.chemistry.calibration import true_run
from splitline.chemistry.components import Component, components, top_difference_uncertainty
from splitline.chemistry.coverage import NORMAL, RECTANGULAR, Part, coverage_factor
from splitline.chemistry.extraction import brine_content, content_of_line, content_of_top
from splitline.chemistry.limits import problems
from splitline.chemistry.measurement import Measurement, Run
from splitline.chemistry.scale import DRAWN_AT, Scale, line_of_reading
from splitline.errors import Problem, Unusable

# Two results of one person differ by more than this many standard uncertainties once in twenty (ISO 5725-6).
REPEATABILITY = 2.8
# The variance of a median against that of a mean, for many normal values: pi / 2.
MEDIAN_VARIANCE = 1.5707963267948966


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


def result(measurement: Measurement, only: Collection[str] | None = None) -> Result:
    """Return the result of a measurement.

    only: names of the components to take into account, for studies; all when None. Raises `Unusable` with every
    problem when an input is out of its range or the content lies outside 0..100 % by more than its uncertainty.
    """
    found = problems(measurement)
    if found:
        raise Unusable(found)
    answer = _unknown(measurement, only) if measurement.tube.scale == "unknown" else _known(measurement, only)
    if not -answer.expanded_uncertainty <= answer.content <= 100.0 + answer.expanded_uncertainty:
        low, high = -answer.expanded_uncertainty, 100.0 + answer.expanded_uncertainty
        raise Unusable([Problem("content_impossible", "runs", f"{answer.content:.1f}", f"{low:.1f}..{high:.1f}")])
    return answer


def _known(measurement: Measurement, only: Collection[str] | None) -> Result:
    scale = measurement.tube.scale
    assert scale != "unknown"
    runs = tuple(_run_result(measurement, run, scale, only) for run in measurement.runs)
    return _combined(runs, _warnings(runs))


def _unknown(measurement: Measurement, only: Collection[str] | None) -> Result:
    """An unknown scale is one of the two printed kinds: the middle of both, with half the span as a shared part."""
    linear = tuple(_run_result(measurement, run, "linear", only) for run in measurement.runs)
    corrected = tuple(_run_result(measurement, run, "corrected", only) for run in measurement.runs)
    runs = tuple(_middle(one, other, only) for one, other in zip(linear, corrected, strict=True))
    ends = sorted((_chosen_mean(linear), _chosen_mean(corrected)))
    return _combined(runs, (*_warnings(runs), "scale_unknown"), (ends[0], ends[1]))


def _run_result(measurement: Measurement, run: Run, scale: Scale, only: Collection[str] | None) -> RunResult:
    reading = run.line if run.line is not None else run.percent
    assert reading is not None
    line = line_of_reading(scale, reading, run.water, run.fuel)
    as_read = reading if scale != "volume" else 100.0 * (line - run.water) / run.fuel
    steps = _steps(measurement, run, line, as_read)
    content = as_read + sum(step.change for step in steps)
    parts = components(measurement, run, scale, content)
    kept = tuple(part for part in parts if part.uncertainty > 0.0 and (only is None or part.name in only))
    top, agree = _second_opinion(measurement, run, scale, line, content)
    return RunResult(content, _root(kept, shared=False), as_read, steps, kept, top, agree)


def _steps(measurement: Measurement, run: Run, line: float, as_read: float) -> tuple[Step, ...]:
    """Each correction and what it changes; the marks' and the tube's own only where they are known."""
    tube = measurement.tube
    printed = (line, run.water, run.fuel)
    water, fuel, true_line = true_run(run, line, tube.calibration)
    true = (true_line, water, fuel)
    if tube.liquid == "brine":
        stages = [("method", brine_content(*printed)), ("calibration", brine_content(*true))]
    else:
        temperature = measurement.temperature
        stages = [
            ("shrinkage", content_of_line(*printed, DRAWN_AT, 0.0)),
            ("calibration", content_of_line(*true, DRAWN_AT, 0.0)),
            ("temperature", content_of_line(*true, temperature, 0.0)),
            ("fuel_water", content_of_line(*true, temperature, measurement.fuel_water)),
        ]
    stages.append(("tube_offset", stages[-1][1] + tube.offset))
    before = [as_read, *(content for _, content in stages)]
    applied = {"calibration": bool(tube.calibration), "tube_offset": tube.offset_uncertainty > 0.0}
    return tuple(
        Step(name, content - start)
        for (name, content), start in zip(stages, before, strict=False)
        if applied.get(name, True)
    )


def _second_opinion(
    measurement: Measurement, run: Run, scale: Scale, line: float, content: float
) -> tuple[float | None, bool | None]:
    """The content by the fuel's top, and whether it agrees; the fuel's water has left the top layer too."""
    if run.top is None:
        return None, None
    top_content = content_of_top(line, run.top, run.fuel)
    water = 0.0 if measurement.tube.liquid == "brine" else measurement.fuel_water
    limit = NORMAL * top_difference_uncertainty(measurement, run, scale, content)
    return top_content, abs(content + water - top_content) <= limit


def _middle(linear: RunResult, corrected: RunResult, only: Collection[str] | None) -> RunResult:
    half = abs(linear.content - corrected.content) / 2.0
    # From one kind to the other; a reading at either end, where both agree, has the part too, with no weight.
    kind = Component("scale_kind", 1.0 / sqrt(3.0), half, RECTANGULAR, True)
    kept = (kind,) if only is None or "scale_kind" in only else ()
    pairs = zip(linear.steps, corrected.steps, strict=True)
    return RunResult(
        content=(linear.content + corrected.content) / 2.0,
        own_uncertainty=linear.own_uncertainty,
        as_read=linear.as_read,
        steps=tuple(Step(one.name, (one.change + other.change) / 2.0) for one, other in pairs),
        components=(*linear.components, *kept),
        top_content=linear.top_content,
        layers_agree=linear.layers_agree,
    )


def _combined(
    runs: tuple[RunResult, ...], warnings: tuple[str, ...], span: tuple[float, float] | None = None
) -> Result:
    """Combine runs: u^2 = u_shared^2 + u_own^2 / n, the median where the runs disagree.

    u_own is the larger of the budget and the scatter. What the scatter has beyond the budget counts as a part of its
    own with n - 1 degrees of freedom, so that the coverage factor does not jump where the two are equal. Of two runs
    that contradict each other either may be right: half their difference is the standard deviation of that.
    """
    count = len(runs)
    budget = sqrt(fmean([run.own_uncertainty**2 for run in runs]))
    scatter = stdev([run.content for run in runs]) if count >= 3 or not runs_agree(runs) else 0.0
    own_of_one = max(budget, scatter)
    chosen = _chosen(runs)
    widening = MEDIAN_VARIANCE if len(chosen) < count else 1.0
    own = own_of_one * sqrt(widening / count)
    averaged = _averaged(runs)
    shared = _root(averaged, shared=True)
    excess = sqrt((widening * own_of_one**2 - budget**2) / count)
    parts = [
        *(Part(part.contribution, part.kurtosis / (1 if part.shared else count)) for part in averaged),
        Part(excess, freedom=count - 1.0 if count >= 3 else inf),
    ]
    if excess > 0.0:
        averaged = (*averaged, Component("scatter", excess, 1.0, 0.0, False))
    factor = coverage_factor(parts)
    return Result(
        content=fmean([run.content for run in chosen]),
        expanded_uncertainty=factor * sqrt(own**2 + shared**2),
        own_uncertainty=own,
        shared_uncertainty=shared,
        coverage_factor=factor,
        as_read=fmean([run.as_read for run in chosen]),
        steps=tuple(
            Step(step.name, fmean([run.steps[index].change for run in chosen]))
            for index, step in enumerate(chosen[0].steps)
        ),
        runs=runs,
        components=averaged,
        repeatability_limit=REPEATABILITY * own_of_one,
        warnings=warnings,
        span=span,
    )


def _averaged(runs: Sequence[RunResult]) -> tuple[Component, ...]:
    """The components of the mean of the runs: a shared one keeps its size, an own one shrinks with the root of n."""
    averaged = []
    for index, part in enumerate(runs[0].components):
        effects = [run.components[index].sensitivity * run.components[index].uncertainty for run in runs]
        effect = fmean(effects) if part.shared else sqrt(fmean([e * e for e in effects]) / len(runs))
        kurtosis = fmean([run.components[index].kurtosis for run in runs])
        averaged.append(replace(part, sensitivity=effect / part.uncertainty, kurtosis=kurtosis))
    return tuple(averaged)


def runs_agree(runs: Sequence[RunResult]) -> bool:
    """Return whether the runs lie within the repeatability limit 2.8 u of each other."""
    contents = [run.content for run in runs]
    own = sqrt(fmean([run.own_uncertainty**2 for run in runs]))
    return max(contents) - min(contents) <= (REPEATABILITY * own if own > 0.0 else inf)


def _chosen(runs: tuple[RunResult, ...]) -> tuple[RunResult, ...]:
    """All runs; where three or more disagree, the middle one or two of them."""
    if len(runs) < 3 or runs_agree(runs):
        return runs
    ordered = sorted(runs, key=lambda run: run.content)
    return tuple(ordered[(len(runs) - 1) // 2 : len(runs) // 2 + 1])


def _chosen_mean(runs: tuple[RunResult, ...]) -> float:
    return fmean([run.content for run in _chosen(runs)])


def _warnings(runs: tuple[RunResult, ...]) -> tuple[str, ...]:
    found = []
    if not runs_agree(runs):
        found.append("runs_disagree" if len(runs) < 3 else "median_counts")
    if any(run.layers_agree is False for run in runs):
        found.append("layers_disagree")
    return tuple(found)


def _root(parts: Sequence[Component], shared: bool) -> float:
    return sqrt(sum(part.contribution**2 for part in parts if part.shared == shared))
