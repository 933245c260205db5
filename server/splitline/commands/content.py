"""`splitline content`: one result from one or more runs."""

import argparse
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from splitline.chemistry.advice import advice, per_ten_degrees
from splitline.chemistry.budget import MODEL, Component, Result, result
from splitline.chemistry.components import NAMES
from splitline.chemistry.exchange import Exchange
from splitline.chemistry.meaning import check_scale_kind
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.chemistry.scale import DRAWN_AT
from splitline.commands.options import RUN_COLUMNS
from splitline.commands.table import cell, rows
from splitline.errors import Problem, Unusable
from splitline.exchange_table import read_exchange


@dataclass(frozen=True)
class _Runs:
    """The options of the runs: each given once for all runs, or once per run."""

    water: list[float]
    fuel: list[float]
    line: list[float]
    percent: list[float]
    top: list[float]


def run(args: argparse.Namespace) -> int:
    """Print the result. Raises `Unusable` with every problem of the input."""
    _check_names(args.only or [])
    exchange = read_exchange(args.exchange)
    measured = _measured(args, _from_file(args.runs) if args.runs else _from_options(args))
    answer = result(measured, args.only, exchange)
    shown = {**_as_json(answer), **_follows(measured, answer, args.only, exchange)}
    print(json.dumps(shown) if args.json else _as_text(answer, shown, measured))
    return 0


def _check_names(only: list[str]) -> None:
    unknown = [name for name in only if name not in NAMES]
    if unknown:
        raise Unusable([Problem("choice", "--only", name, ", ".join(NAMES)) for name in unknown])


def _measured(args: argparse.Namespace, runs: tuple[Run, ...]) -> Measurement:
    """A given temperature was measured; the tube's, if left out, is an estimate."""
    return Measurement(
        tube=Tube(_scale(args.scale, runs), args.graduation, args.liquid, args.tolerance),
        runs=runs,
        temperature=DRAWN_AT if args.temperature is None else args.temperature,
        temperature_measured=args.temperature is not None,
        fuel_water=args.fuel_water,
        water_temperature=args.water_temperature,
        water_temperature_measured=args.water_temperature is not None,
        fuel_temperature=args.fuel_temperature,
        fuel_temperature_measured=args.fuel_temperature is not None,
    )


def _scale(scale: Any, runs: tuple[Run, ...]) -> Any:
    """The kind of scale: as given, else volume for mL; unknown for a printed percent."""
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
    """One run per row; an empty cell is a value that was not read."""
    runs: list[Run] = []
    problems: list[Problem] = []
    for line, row in rows(path, ("water", "fuel"), RUN_COLUMNS):
        read = [name for name in RUN_COLUMNS if name in ("water", "fuel") or row.get(name, "").strip()]
        values: dict[str, Any] = {name: cell(row, name, f"row {line}", problems) for name in read}
        runs.append(Run(**values))
    if problems:
        raise Unusable(problems)
    return tuple(runs)


def _follows(measured: Measurement, answer: Result, only: list[str] | None, exchange: Exchange) -> dict[str, Any]:
    """Warnings and advice about the result."""
    warnings = list(answer.warnings)
    if check_scale_kind(answer.content, answer.expanded_uncertainty):
        warnings.append("check_scale_kind")
    return {
        "warnings": warnings,
        "advice": [asdict(one) for one in advice(measured, only, exchange)],
        "per_ten_degrees": per_ten_degrees(measured),
    }


def _as_json(answer: Result) -> dict[str, Any]:
    return {
        "model": MODEL,
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
            {"name": part.name, "contribution": part.contribution, "shared": part.shared, "scope": part.scope}
            for part in answer.components
        ],
    }


def _as_text(answer: Result, shown: dict[str, Any], measured: Measurement) -> str:
    lines = [f"Ethanol content {answer.content:.1f} ± {answer.expanded_uncertainty:.1f} % (V/V), 95 % coverage", ""]
    lines.append(f"  line as read  {answer.as_read:6.1f}")
    lines += [f"  {step.name.replace('_', ' '):<13} {step.change:+z6.1f}" for step in answer.steps]
    lines += ["", "Uncertainty components (standard uncertainty of the content, %):"]
    for part in sorted(answer.components, key=lambda part: -part.contribution):
        lines.append(f"  {part.name.replace('_', ' '):<17} {part.contribution:6.2f}  {_helps(part, measured)}")
    if shown["advice"]:
        lines += ["", "What would help most:"]
        lines += [f"  {_act(one):<41} ± {one['expanded_uncertainty']:.1f} %" for one in shown["advice"]]
    if answer.span:
        lines += ["", f"Kind of scale unknown: {answer.span[0]:.1f} if uncorrected, {answer.span[1]:.1f} if corrected."]
    lines += [f"Note: {WARNINGS[code]}" for code in shown["warnings"]]
    if not measured.temperature_measured:
        change = f"{shown['per_ten_degrees']:+z.1f} points of content per 10 degrees warmer"
        lines.append(f"Note: {measured.temperature:g} degrees Celsius is an estimate; {change}.")
    return "\n".join(lines)


def _helps(part: Component, measured: Measurement) -> str:
    """How to reduce a component."""
    known = getattr(measured, f"{part.name}_measured", None)
    if known is not None:
        return "a better thermometer helps" if known else "measuring it helps"
    return HELPS.get(part.name) or SCOPES[part.scope]


def _act(one: dict[str, Any]) -> str:
    return ACTS[one["act"]].format(**one)


SCOPES = {"run": "another run helps", "tube": "another tube helps"}

HELPS = {
    "exchange": "a better table helps (--exchange), no other run or tube",
    "fuel_water": "measuring it helps (--fuel-water)",
    "calibration": "weighing on a better scale helps, or another tube",
    "scale_kind": "finding out the kind of scale helps",
    "scatter": "another run helps",
}

WARNINGS = {
    "runs_disagree": "the runs differ by more than they should; run a third.",
    "median_counts": "the runs differ by more than they should; the median is used.",
    "layers_disagree": "the layers do not add up: fill error, leak, evaporation or a milky layer; repeat the run.",
    "scale_unknown": "find out the kind of scale to narrow this result.",
    "check_scale_kind": "above every specification's maximum; check the scale kind of this tube first.",
    "would_freeze": "the lower layer would be ice at the temperature given; check the temperature.",
}

ACTS = {
    "know_scale": "find out the kind of scale",
    "calibrate_tube": "weigh the marks of the tube",
    "measure_temperature": "measure the temperatures",
    "one_more_run": "one more run",
    "read_finer": "read the line twice as finely",
    "finer_tube": "a tube with steps half as large",
    "other_filling": "fill {water:g} mL of water and {fuel:g} mL of fuel",
}
