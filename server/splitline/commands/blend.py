"""`splitline blend`: what the tank holds, what to add, what the sensor should show, engine figures."""

import argparse
import json
from dataclasses import asdict
from typing import Any

from splitline.chemistry.blend import Part, Plan, fill, heel, mix, possible, reach
from splitline.chemistry.fuels import engine_figures
from splitline.chemistry.sensor import (
    EXPANDED_UNCERTAINTY,
    Comparison,
    compare,
    content_of_frequency,
    frequency_of_content,
    signal,
)
from splitline.commands.options import PART
from splitline.commands.reading import number
from splitline.errors import Problem, Unusable

# Default uncertainty of a content, % (V/V), 95 %.
UNSTATED = 3.0
# Upper limit, more than any tank or can holds, litres.
MOST = 100_000.0
# Smallest volume that counts, litres.
SOME = 0.1


def run(args: argparse.Namespace) -> int:
    """Print the figures. Raises `Unusable` with every problem of the input."""
    problems: list[Problem] = []
    tank = _part("--tank", args.tank, problems)
    added = [_part("--added", text, problems) for text in args.added]
    stocks = [_part("--stock", text, problems) for text in args.stock]
    sensed = _sensed(args, problems)
    problems += _wanting(args, tank, added, stocks, sensed)
    if problems:
        raise Unusable(problems)
    whole = mix([tank, *added]) if tank.volume + sum(part.volume for part in added) > 0.0 else tank
    plan = _plan(args, whole, stocks)
    held = plan.blend if plan else whole
    found: dict[str, Any] = {
        "tank": asdict(whole),
        "plan": asdict(plan) if plan else None,
        "sensor": _sensor(whole, sensed, args.sensor_hz) if whole.volume > 0.0 else None,
        "heel": _heel(whole, added, sensed) if args.heel else None,
        "engine": asdict(engine_figures(held.content, held.expanded_uncertainty)) if held.volume > 0.0 else None,
    }
    print(json.dumps(found) if args.json else _as_text(whole, plan, found, SPLITS if args.add else OUTCOMES))
    return 0


def _part(option: str, text: str, problems: list[Problem]) -> Part:
    """Parse LITRES,CONTENT[,U]; on a fault, note a problem and return an empty part."""
    try:
        numbers = [number(piece) for piece in text.split(",")]
    except argparse.ArgumentTypeError:
        numbers = []
    if len(numbers) not in (2, 3):
        problems.append(Problem("part_unreadable", option, text, PART))
        return Part(0.0, 0.0, UNSTATED)
    volume, content, uncertainty = (*numbers, UNSTATED)[:3]
    if not (0.0 <= volume <= MOST and 0.0 <= content <= 100.0 and 0.0 < uncertainty <= 100.0):
        limit = f"LITRES 0..{MOST:.0f}, CONTENT 0..100, U above 0, at most 100"
        problems.append(Problem("part_range", option, text, limit))
    return Part(volume, content, uncertainty)


def _sensed(args: argparse.Namespace, problems: list[Problem]) -> float | None:
    if args.sensor_hz is None:
        if args.sensor is not None and not 0.0 <= args.sensor <= 100.0:
            problems.append(Problem("part_range", "--sensor", f"{args.sensor:g}", "0..100"))
        return float(args.sensor) if args.sensor is not None else None
    found, shown = signal(args.sensor_hz), f"{args.sensor_hz:g}"
    if found == "contaminated":
        problems.append(Problem("sensor_contaminated", "--sensor-hz", shown, "50..150"))
    if found == "out_of_range":
        problems.append(Problem("sensor_out_of_range", "--sensor-hz", shown, "50..150"))
    return content_of_frequency(args.sensor_hz)


def _wanting(
    args: argparse.Namespace, tank: Part, added: list[Part], stocks: list[Part], sensed: float | None
) -> list[Problem]:
    """Problems of options that are out of range or lack another option."""
    found = []
    if args.target is not None and not 0.0 <= args.target <= 100.0:
        found.append(Problem("part_range", "--target", f"{args.target:g}", "0..100"))
    if args.target is not None and args.capacity is None and args.add is None:
        found.append(Problem("option_needed", "--target", "", "--capacity or --add"))
    if args.add is not None and len(stocks) != 2:
        found.append(Problem("option_needed", "--add", "", "--stock twice"))
    in_tank = tank.volume + sum(part.volume for part in added)
    if args.capacity is not None and not max(in_tank, SOME) <= args.capacity <= MOST:
        found.append(Problem("part_range", "--capacity", f"{args.capacity:g}", f"{max(in_tank, SOME):g}..{MOST:.0f}"))
    if args.add is not None and not SOME <= args.add <= MOST:
        found.append(Problem("part_range", "--add", f"{args.add:g}", f"{SOME:g}..{MOST:.0f}"))
    if args.heel and (sensed is None or tank.volume <= 0.0):
        found.append(Problem("option_needed", "--heel", "", "--sensor or --sensor-hz, and --tank with its litres"))
    return found


def _plan(args: argparse.Namespace, whole: Part, stocks: list[Part]) -> Plan | None:
    if args.target is None:
        return None
    if args.add is not None:
        return fill(whole, args.add, args.target, stocks[0], stocks[1])
    return reach(whole, args.capacity - whole.volume, args.target, stocks)


def _sensor(whole: Part, sensed: float | None, frequency: float | None) -> dict[str, Any]:
    expected = {"expected_percent": whole.content, "expected_hz": frequency_of_content(whole.content)}
    if sensed is None:
        return expected
    found: Comparison = compare(whole.content, whole.expanded_uncertainty, sensed)
    return {**expected, "percent": sensed, "hz": frequency, **asdict(found)}


def _heel(whole: Part, added: list[Part], sensed: float | None) -> dict[str, Any] | None:
    """What the tank held before, by the sensor, and whether that is possible."""
    if sensed is None:
        return None
    before = heel(Part(whole.volume, sensed, EXPANDED_UNCERTAINTY), added)
    return {**asdict(before), "possible": possible(before)}


OUTCOMES = {
    "reached": "reaches the target",
    "already_there": "the tank already has it",
    "no_stock_beyond": "cannot reach the target: no fuel available is on the other side of it",
    "not_enough_room": "cannot reach the target: not enough space in the tank; this is the nearest",
    "not_enough_stock": "cannot reach the target: not enough fuel available; this is the nearest",
}
# For a fixed addition split between two stocks.
SPLITS = {
    **OUTCOMES,
    "no_stock_beyond": "cannot reach the target: no split of these two does with this addition; this is the nearest",
    "not_enough_room": "cannot reach the target with this addition; this is the nearest",
}


def _as_text(whole: Part, plan: Plan | None, found: dict[str, Any], outcomes: dict[str, str]) -> str:
    lines = [f"Tank: {_part_text(whole)}"]
    if plan:
        added = ", ".join(f"{litres:.1f} L" for litres in plan.additions) or "nothing"
        lines.append(
            f"Add {added} (stocks in the order given): {outcomes[plan.outcome]}; then {_part_text(plan.blend)}"
        )
    lines += _sensor_lines(found["sensor"]) if found["sensor"] else [NO_FUEL]
    if found["heel"]:
        before = {name: value for name, value in found["heel"].items() if name != "possible"}
        lines.append(f"Before that the tank must have held {_part_text(Part(**before))}")
        if not found["heel"]["possible"]:
            lines.append("  which is impossible: check the volumes, the contents and the sensor")
    if found["engine"]:
        ratio, flow = found["engine"]["stoichiometric_ratio"], found["engine"]["flow_ratio"]
        lines.append(f"Stoichiometric air-fuel ratio {_value(ratio)} (mass)")
        lines.append(f"Fuel volume flow {_value(flow)} times that of gasoline")
    return "\n".join(lines)


NO_FUEL = "The tank is empty, so its sensor has no fuel to measure; give --tank LITRES,CONTENT or --added."


def _sensor_lines(sensor: dict[str, Any]) -> list[str]:
    lines = [f"Sensor should show {sensor['expected_percent']:.0f} % ({sensor['expected_hz']:.0f} Hz)"]
    if "agree" in sensor:
        verdict = "agrees" if sensor["agree"] else "does not agree"
        lines.append(f"  it shows {sensor['percent']:.0f} %: {verdict} within ± {sensor['expanded_uncertainty']:.1f}")
    return lines


def _value(figure: dict[str, float]) -> str:
    return f"{figure['value']:.2f} ± {figure['expanded_uncertainty']:.2f}"


def _part_text(part: Part) -> str:
    if part.volume <= 0.0:
        return "empty"
    return f"{part.volume:.1f} L at {part.content:.1f} ± {part.expanded_uncertainty:.1f} % (V/V)"
