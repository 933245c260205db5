"""`splitline content`: one result from one or more runs."""

import argparse
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from splitline.chemistry.advice import advice, per_ten_degrees, strong_layer
from splitline.chemistry.budget import Result, result
from splitline.chemistry.meaning import check_scale_kind
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.chemistry.scale import DRAWN_AT
from splitline.commands.options import RUN_COLUMNS
from splitline.commands.reading import cell, rows
from splitline.errors import Problem, Unusable


@dataclass(frozen=True)
class _Runs:
    """The options of the runs as given: each once for all runs, or once per run."""

    water: list[float]
    fuel: list[float]
    line: list[float]
    percent: list[float]
    top: list[float]


def run(args: argparse.Namespace) -> int:
    """Print the result. Raises `Unusable` with every problem of the input."""
    runs = _from_file(args.runs) if args.runs else _from_options(args)
    tube = Tube(_scale(args.scale, runs), args.graduation, args.liquid, args.tolerance)
    temperature = DRAWN_AT if args.temperature is None else args.temperature
    measured = Measurement(tube, runs, temperature, args.temperature is not None, args.fuel_water)
    answer = result(measured, args.only)
    shown = {**_as_json(answer), **_follows(measured, answer, args.only)}
    print(json.dumps(shown) if args.json else _as_text(answer, shown, measured))
    return 0


def _scale(scale: Any, runs: tuple[Run, ...]) -> Any:
    """The kind of scale: as said, else volume for mL; a printed percent of no stated kind is unknown."""
    return scale or ("unknown" if any(run.percent is not None for run in runs) else "volume")


def _from_options(args: argparse.Namespace) -> tuple[Run, ...]:
    given = _Runs(args.water, args.fuel, args.line, args.percent, args.top)
    count = max(len(values) for values in vars(given).values())
    problems = [
        Problem("option_count", f"--{name}", str(len(values)), str(count))
        for name, values in vars(given).items()
        if len(values) not in (0, 1, count)
    ]
    problems += [Problem("field_missing", f"--{name}") for name in ("water", "fuel") if not vars(given)[name]]
    if problems:
        raise Unusable(problems)
    spread = {name: values * count if len(values) == 1 else values for name, values in vars(given).items()}
    return tuple(
        Run(**{name: values[index] if values else None for name, values in spread.items()})  # type: ignore[arg-type]
        for index in range(count)
    )


def _from_file(path: Path) -> tuple[Run, ...]:
    """One run a row; an empty cell is a value that was not read."""
    runs: list[Run] = []
    problems: list[Problem] = []
    for line, row in enumerate(rows(path), start=2):
        read = [name for name in RUN_COLUMNS if name in ("water", "fuel") or row.get(name, "").strip()]
        runs.append(Run(**{name: cell(row, name, f"row {line}", problems) for name in read}))
    if problems:
        raise Unusable(problems)
    return tuple(runs)


def _follows(measured: Measurement, answer: Result, only: list[str] | None) -> dict[str, Any]:
    """What follows from the numbers: what is odd about them, and what would make them surer."""
    warnings = list(answer.warnings)
    if check_scale_kind(answer.content, answer.expanded_uncertainty):
        warnings.append("check_scale_kind")
    if strong_layer(measured):
        warnings.append("strong_layer")
    return {
        "warnings": warnings,
        "advice": [asdict(one) for one in advice(measured, only)],
        "per_ten_degrees": per_ten_degrees(measured),
    }


def _as_json(answer: Result) -> dict[str, Any]:
    return {
        "content": answer.content,
        "expanded_uncertainty": answer.expanded_uncertainty,
        "own_uncertainty": answer.own_uncertainty,
        "shared_uncertainty": answer.shared_uncertainty,
        "coverage_factor": answer.coverage_factor,
        "as_read": answer.as_read,
        "steps": [{"name": step.name, "change": step.change} for step in answer.steps],
        "span": answer.span,
        "repeatability_limit": answer.repeatability_limit,
        "runs": [
            {
                "content": one.content,
                "own_uncertainty": one.own_uncertainty,
                "as_read": one.as_read,
                "top_content": one.top_content,
                "layers_agree": one.layers_agree,
            }
            for one in answer.runs
        ],
        "components": [
            {"name": part.name, "contribution": part.contribution, "shared": part.shared} for part in answer.components
        ],
    }


def _as_text(answer: Result, shown: dict[str, Any], measured: Measurement) -> str:
    lines = [f"Ethanol content {answer.content:.1f} ± {answer.expanded_uncertainty:.1f} % (V/V), 95 % coverage", ""]
    lines.append(f"  line as read  {answer.as_read:6.1f}")
    lines += [f"  {step.name.replace('_', ' '):<13} {step.change:+z6.1f}" for step in answer.steps]
    lines += ["", "What makes it uncertain (standard uncertainty of the content, %):"]
    for part in sorted(answer.components, key=lambda part: -part.contribution):
        kind = "the same at every test in this tube" if part.shared else "new at every run"
        lines.append(f"  {part.name.replace('_', ' '):<13} {part.contribution:6.2f}  {kind}")
    if shown["advice"]:
        lines += ["", "What would help most:"]
        lines += [f"  {ACTS[one['act']]:<32} ± {one['expanded_uncertainty']:.1f} %" for one in shown["advice"]]
    if answer.span:
        lines += ["", f"Kind of scale unknown: {answer.span[0]:.1f} if uncorrected, {answer.span[1]:.1f} if corrected."]
    lines += [f"Note: {WARNINGS[code]}" for code in shown["warnings"]]
    if not measured.temperature_measured:
        change = f"{shown['per_ten_degrees']:+z.1f} points of content for every 10 degrees more"
        lines.append(f"Note: {measured.temperature:g} degrees Celsius are a guess; {change}.")
    return "\n".join(lines)


WARNINGS = {
    "runs_disagree": "the runs differ by more than they should; run a third.",
    "median_counts": "the runs differ by more than they should; the middle one counts.",
    "layers_disagree": "the layers do not add up: fill error, leak, evaporation or a milky layer; repeat the run.",
    "scale_unknown": "find out the kind of scale to make this result narrower.",
    "check_scale_kind": "above every specification's maximum; check the scale kind of this tube first.",
    "strong_layer": "the lower layer is more than half ethanol and dissolves fuel; take less fuel and more water.",
}

ACTS = {
    "know_scale": "find out the kind of scale",
    "calibrate_tube": "weigh the marks of the tube",
    "measure_temperature": "measure the temperature",
    "one_more_run": "one more run",
    "read_finer": "read the line twice as finely",
    "finer_tube": "a tube with steps half as large",
}
