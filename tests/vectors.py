"""The vectors that both languages must reproduce: `python tests/vectors.py` writes fixtures/vectors/*.json.

A case has a module, a function, its arguments and Python's answer. The app's tests call the counterpart of the
same name with the same arguments. `random_cases(seed, count)` makes more cases.
"""

import importlib
import json
import sys
from collections.abc import Iterator
from dataclasses import asdict, is_dataclass, replace
from math import cos, sin
from pathlib import Path
from random import Random
from typing import Any, get_args
from uuid import UUID

import numpy as np

from helpers.drawn_visits import visits, weights
from helpers.name_pairs import pair_of_names
from helpers.runs_set_aside import some_aside
from splitline.chemistry.axis import Marks, Place
from splitline.chemistry.blend import Part
from splitline.chemistry.extraction import Sensitivities, Temperatures
from splitline.chemistry.meaning import SPECIFICATIONS
from splitline.chemistry.measurement import BRINE_SCALES, CalibrationMark, Measurement, Run, Scale, ScaleKind, Tube
from splitline.errors import Unusable
from splitline.statistics.priors import priors_of
from splitline.statistics.season import BINS, Season
from splitline.statistics.visits import Visit, visits_of, weights_of

FOLDER = Path(__file__).parent.parent / "fixtures" / "vectors"
SEED = 20260101
Case = dict[str, Any]


def case(module: str, function: str, *arguments: Any) -> Case:
    """Return one case with Python's answer; an `Unusable` becomes the list of its problems."""
    call = getattr(importlib.import_module(f"splitline.{module.replace('/', '.')}"), function)
    try:
        answer: Case = {"expected": _plain(call(*arguments))}
    except Unusable as fault:
        answer = {"problems": [_plain(problem) for problem in fault.problems]}
    return {"module": module, "function": function, "arguments": _plain(list(arguments)), **answer}


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return _plain(asdict(value))
    value = value._asdict() if isinstance(value, Visit | Sensitivities | Temperatures) else value
    value = value.tolist() if isinstance(value, np.ndarray) else value
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return [_plain(item) for item in value] if isinstance(value, list | tuple) else value


def density_cases(random: Random) -> Iterator[Case]:
    for function in ("density", "density_by_fraction", "density_by_temperature"):
        yield case("chemistry/density", function, random.random(), random.uniform(-20, 40))


def tube_cases(random: Random) -> Iterator[Case]:
    water, fuel = random.choice(
        [(50.0, 50.0), (10.0, 90.0), (5.0, 10.0), (random.uniform(5, 200), random.uniform(5, 200))]
    )
    conditions = (random.uniform(-20, 40), random.choice([0.0, 0.5, random.uniform(0, 10)]))
    content = random.uniform(-5, 105)
    line = water + fuel * random.uniform(0, 1)
    yield case("chemistry/extraction", "line_of_content", content, water, fuel, *conditions)
    yield case("chemistry/extraction", "content_of_line", line, water, fuel, *conditions)
    temperatures = Temperatures(*(random.uniform(-20, 40) for _ in range(3)))
    yield case("chemistry/extraction", "sensitivities", content, water, fuel, temperatures, conditions[1])
    yield case("chemistry/freezing", "freezing_point", random.uniform(0, 0.4))
    yield case("chemistry/extraction", "brine_content", line, water, fuel)
    yield case("chemistry/extraction", "content_of_top", line, water + fuel, fuel)
    scale = random.choice(get_args(Scale))
    reading = line if scale == "volume" else random.uniform(0, 100)
    yield case("chemistry/scale", "line_of_reading", scale, reading, water, fuel)
    yield case("chemistry/scale", "reading_of_line", scale, line, water, fuel)


def tube(random: Random, scale: str, water: float, fuel: float) -> Tube:
    """Return a tube for this filling with this kind of scale."""
    marks = tuple(CalibrationMark(v, v + random.gauss(0, 0.4)) for v in (water, water + fuel / 2, water + fuel))
    return Tube(
        scale,  # type: ignore[arg-type]
        random.choice([0.5, 1.0, 2.0]),
        random.choice(["water", "water", "brine"]) if scale in BRINE_SCALES else "water",  # type: ignore[arg-type]
        random.choice([None, 0.0, 0.5]),
        random.choice([(), (), marks]),
        *random.choice([(0.0, 0.0), (0.0, 0.0), (1.5, 1.0), (1.5, 1.0, 70.0)]),
    )


def measurement(random: Random) -> Measurement:
    """Return a realistic test, sometimes an impossible one."""
    volume = random.random() < 0.5
    kinds = [kind for kind in get_args(ScaleKind) if (kind == "volume") == volume]
    water, fuel = random.choice([(50.0, 50.0), (75.0, 25.0), (10.0, 10.0), (60.0, 40.0), (100.0, 100.0), (40.0, 60.0)])
    own, other = (tube(random, random.choice(kinds), water, fuel) for _ in range(2))
    several = random.random() < 0.3
    level = random.uniform(-0.05, 1.02) if random.random() < 0.1 else random.uniform(0.1, 0.9)
    runs = []
    for _ in range(random.randint(1, 5)):
        share = level + random.gauss(0, 0.01)
        line = water + fuel * share
        top = line + fuel * (1 - share) * random.uniform(0.85, 1.05) if random.random() < 0.3 else None
        within = other if several and random.random() < 0.5 else None
        half_width = random.choice([None, None, 0.2]) if volume else None
        read = {"line": round(line, 1)} if volume else {"percent": round(100 * share, 1)}
        runs.append(Run(water, fuel, top=top, line_half_width=half_width, tube=within, **read))
    return Measurement(
        own,
        tuple(runs),
        random.uniform(-21, 41),
        random.random() < 0.5,
        random.choice([0.0, 0.5, 1.0]),
        random.choice([None, random.uniform(-5, 40)]),
        random.random() < 0.5,
        random.choice([None, random.uniform(-5, 40)]),
        random.random() < 0.5,
    )


def calibration_cases(random: Random) -> Iterator[Case]:
    marks = [CalibrationMark(v, v + random.gauss(0, 0.5)) for v in random.sample([10.0, 30.0, 50.0, 75.0, 100.0], 3)]
    yield case("chemistry/calibration", "volume_of_water", random.uniform(1, 200), random.uniform(0, 40))
    yield case("chemistry/calibration", "true_volume", random.uniform(0, 110), marks)
    heights = [(p, 20 + 80 * (p / 100 + random.gauss(0, 0.01))) for p in (20.0, 40.0, 60.0, 80.0)]
    yield case("chemistry/calibration", "scale_check", heights, 20.0, 100.0, 50.0, 50.0)
    yield case("chemistry/calibration", "known_sample", random.uniform(60, 90), 1.9, 80.0, random.uniform(0.2, 1))


def budget_cases(random: Random) -> Iterator[Case]:
    yield case("chemistry/budget", "result", measurement(random))


def advice_cases(random: Random) -> Iterator[Case]:
    measured = measurement(random)
    yield case("chemistry/advice", "advice", measured)
    yield case("chemistry/advice", "per_ten_degrees", measured)


def meaning_cases(random: Random) -> Iterator[Case]:
    content, uncertainty = random.uniform(40, 95), random.uniform(0.5, 6)
    yield case("chemistry/normal", "normal_below", random.gauss(0, 3))
    yield case("chemistry/coverage", "shape_factor", random.uniform(-2, 0))
    yield case("chemistry/coverage", "student_factor", random.choice([1.0, 2.0, random.uniform(1, 200)]))
    yield case("chemistry/meaning", "probability_at_or_above", content, uncertainty, random.uniform(50, 90))
    yield case("chemistry/meaning", "verdict", content, uncertainty, random.choice(SPECIFICATIONS))
    yield case("chemistry/meaning", "check_scale_kind", content, uncertainty)


def part(random: Random) -> Part:
    return Part(
        random.choice([0.0, 10.0, random.uniform(1, 60)]),
        random.uniform(0, 90),
        random.uniform(0.5, 5),
        random.random(),
    )


def fuel_cases(random: Random) -> Iterator[Case]:
    stocks = [part(random) for _ in range(random.randint(0, 3))]
    tank, target, room = part(random), random.uniform(10, 90), random.uniform(0, 60)
    whole = Part(random.uniform(40, 60), random.uniform(10, 85), 5.0, 1.0)
    added = [Part(random.uniform(1, 15), random.uniform(0, 85), 2.0, 0.5)]
    yield case("chemistry/blend", "mix", [Part(1.0, 50.0, 1.0), *stocks])
    yield case("chemistry/blend", "reach", tank, room, target, stocks)
    yield case("chemistry/blend", "fill", tank, 20.0, target, part(random), part(random))
    yield case("chemistry/blend", "heel", whole, added)
    yield case("chemistry/blend", "possible", replace(whole, content=random.uniform(-20, 120)))
    low, typical, high = sorted(random.uniform(60, 90) for _ in range(3))
    yield case("chemistry/blend", "next_fill_part", typical, (low, high), random.uniform(1, 60))
    yield case("chemistry/fuels", "engine_figures", random.uniform(0, 100), random.uniform(0.5, 5))
    yield case("chemistry/sensor", "content_of_frequency", random.uniform(40, 190))
    yield case("chemistry/sensor", "signal", random.uniform(40, 190))
    yield case("chemistry/sensor", "compare", random.uniform(0, 90), random.uniform(0.5, 5), random.uniform(0, 100))


def axis_cases(random: Random) -> Iterator[Case]:
    """Marks as a camera sees them, sometimes misplaced."""
    turn, near = random.uniform(-0.4, 0.4), random.uniform(-0.3, 0.3)

    def seen(volume: float) -> Place:
        along = 8.0 * volume / (1 + near * volume / 100) + random.gauss(0, 1.5)
        return Place(500 + along * sin(turn) + random.gauss(0, 1.5), 1200 - along * cos(turn))

    water, fuel = 50.0, 100.0
    marks = Marks(seen(0), seen(water), seen(fuel), seen(random.uniform(45, 105)))
    if random.random() < 0.1:
        marks = replace(marks, water=seen(random.uniform(-10, 120)))
    yield case("chemistry/axis", "line_of_marks", marks, 0.0, water, fuel)
    yield case("chemistry/axis", "line_of_marks", marks, random.uniform(0, 100), water, fuel)


def statistics_cases(random: Random) -> Iterator[Case]:
    values = [round(random.gauss(70, 3), 1) for _ in range(random.randint(1, 30))]
    yield case("statistics/robust", "quantile", values, random.random())
    yield case("statistics/robust", "huber", values)
    yield case("statistics/robust", "weighted_middle", values, [random.random() for _ in values])
    yield case("statistics/normal", "distribution_and_density", random.gauss(0, 5), random.uniform(0.1, 5))
    readings = visits(random)
    yield case("statistics/visits", "visits_of", readings)
    made = case("statistics/steadiness", "estimate", readings, 20400.0)
    yield made
    yield case(
        "statistics/steadiness", "probability_at_least", made["expected"]["next_fill_quantiles"], random.uniform(50, 90)
    )


def region_cases(random: Random) -> Iterator[Case]:
    """A region of a few sources with a season, a tube with an offset, and a source that changes."""
    sources: dict[str, list[Visit]] = {}
    counted = weights(random)
    for number in range(random.randint(1, 5)):
        level, step_at = random.uniform(70, 80), random.choice([20200.0, 1e9])
        sources[f"s{number}"] = visits_of(
            [
                Visit(
                    day,
                    level + 4 * cos(day / 58.13) + random.gauss(0, 1.5) - (6.0 if day > step_at else 0.0),
                    random.uniform(0.6, 1.2),
                    0.4,
                    (who := random.choice("abc")),
                    {"a": "t1", "b": random.choice(["t2", "t3"]), "c": ""}[who],
                    counted[who],
                )
                for day in sorted(20000 + random.uniform(0, 400) for _ in range(random.randint(1, 16)))
            ]
        )
    told = {name: [[v.sampled_at, v.content, v.own_uncertainty] for v in group] for name, group in sources.items()}
    yield case("statistics/season", "cells_of", told)
    country = [random.gauss(0, 2) for _ in range(BINS)]
    priors = priors_of(sources, random.choice([None, country]))
    visited = [visit.sampled_at for visit in sources["s0"]]
    yield case("statistics/season", "at_day", Season(tuple(country), ()), random.uniform(19000, 21000))
    shares = weights_of(sources["s0"])
    yield case("statistics/season", "unknown_of", priors.season, visited, shares, random.uniform(20000, 20800))
    yield case("statistics/changepoint", "changes_of", [random.gauss(0, 1) + (k > 9) * 4 for k in range(20)], 0.8, 2.0)
    yield case("statistics/visits", "weights_of", sources["s0"])
    yield case("statistics/visits", "deliveries_of", visited)
    yield case("statistics/season", "country_of", [(random.randint(0, 50), country), (20, country[::-1])])
    yield case("statistics/priors", "priors_of", sources, random.choice([None, country]))
    yield case("statistics/priors", "figures_of", sources["s0"], priors, 20400.0)


def identity_cases(random: Random) -> Iterator[Case]:
    digest, record = (f"{random.getrandbits(bits):0{bits // 4}x}" for bits in (256, 128))
    id_ = str(UUID(hex=record, version=4))
    yield case("identity", "pseudonym", digest, random.choice(["FR-63", "ES-M", "US-CA"]), random.randint(2000, 2100))
    yield case("identity", "bound", f"{id_[:14]}7{id_[15:]}", digest)


FILES = {
    "density": (density_cases, 40),
    "tube": (tube_cases, 40),
    "budget": (budget_cases, 50),
    "advice": (advice_cases, 40),
    "set_aside": (lambda random: [case("chemistry/budget", "result", some_aside(measurement(random), random))], 40),
    "calibration": (calibration_cases, 20),
    "axis": (axis_cases, 25),
    "meaning": (meaning_cases, 30),
    "fuel": (fuel_cases, 40),
    "statistics": (statistics_cases, 15),
    "region": (region_cases, 6),
    "identity": (identity_cases, 40),
    "places": (lambda random: [case("checking/places", "likeness", *pair_of_names(random))], 200),
}


def vectors(name: str) -> dict[str, Any]:
    """Return the content of one vector file."""
    make, times = FILES[name]
    random = Random(SEED)
    cases = [found for _ in range(times) for found in make(random)]
    return {"about": f"written by tests/vectors.py with seed {SEED}; reals agree to 1e-9 relative", "cases": cases}


def random_cases(seed: int, count: int) -> list[Case]:
    """Return at least `count` fresh cases over every module, in a fixed order for a seed."""
    random = Random(seed)
    cases: list[Case] = []
    while len(cases) < count:
        for make, _ in FILES.values():
            cases += make(random)
    return cases


def main() -> None:
    """Write every vector file."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in FILES:
        text = json.dumps(vectors(name), indent=1, ensure_ascii=False, allow_nan=False)
        (FOLDER / f"{name}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
