"""The numbers in the chemistry README are the ones the code computes."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

import splitline.chemistry
from splitline.chemistry.budget import Result, result
from splitline.chemistry.components import NAMES
from splitline.chemistry.measurement import CalibrationMark, Measurement, Run, Tube

PAGE = Path(splitline.chemistry.__file__).with_name("README.md")
FILLINGS = ((50.0, 50.0), (75.0, 25.0))
CONTENTS = (10.0, 50.0, 85.0)
PLAIN = Tube("volume", 1.0)
WEIGHED = Tube("volume", 1.0, calibration=tuple(CalibrationMark(at, at) for at in (25.0, 50.0, 75.0, 100.0)))
Made = Callable[[float, float, float], Measurement]


def measured(tube: Tube = PLAIN, runs: int = 1, read_at: float = 20.0, known: bool = True) -> Made:
    """A test of equal runs, filled at 20 degrees, with all temperatures measured or all guessed."""

    def of(water: float, fuel: float, line: float) -> Measurement:
        run = Run(water, fuel, line)
        return Measurement(tube, (run,) * runs, read_at, known, 0.5, 20.0, known, 20.0, known)

    return of


def found(made: Made, water: float, fuel: float, content: float) -> Result:
    """The result for the line at which a plain tube at 20 degrees shows a content."""
    return result(made(water, fuel, line_of(water, fuel, content)))


@cache
def line_of(water: float, fuel: float, content: float) -> float:
    """That line, found by bisection with the code; the same for all rows of the page."""
    low, high = water, water + fuel
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if result(measured()(water, fuel, middle)).content < content else (low, middle)
    return low


def step(name: str, made: Made) -> Callable[[float, float, float], str]:
    def told(*at: float) -> str:
        return f"{sum(one.change for one in found(made, *at).steps if one.name == name):+.2f}"

    return told


def part(name: str, made: Made) -> Callable[[float, float, float], str]:
    def told(*at: float) -> str:
        [one] = [one for one in found(made, *at).components if one.name == name]
        return f"{one.contribution:.2f}"

    return told


def unknown_kind(water: float, fuel: float, content: float) -> str:
    """A result on a percent scale of unknown kind, read so that both kinds together give about the content."""
    low, high = 0.0, 100.0
    tube = Tube("unknown", 2.0)
    for _ in range(30):
        middle = (low + high) / 2
        now = result(Measurement(tube, (Run(water, fuel, percent=middle),)))
        low, high = (middle, high) if now.content < content else (low, middle)
    [one] = [one for one in now.components if one.name == "scale_kind"]
    return f"{one.contribution:.2f}"


def whole(made: Made) -> Callable[[float, float, float], str]:
    return lambda *at: f"{found(made, *at).expanded_uncertainty:.1f}"


GUESSED = measured(known=False)
ROWS: dict[str, Callable[[float, float, float], str]] = {
    "`shrinkage`": step("shrinkage", measured()),
    "`temperature`, read 5 degrees warmer than filled": step("temperature", measured(read_at=25.0)),
    "`fuel_water`, 0.5 %": step("fuel_water", measured()),
    "`exchange`": step("exchange", measured()),
    "`water_fill`": part("water_fill", measured()),
    "`fuel_fill`": part("fuel_fill", measured()),
    "`line`": part("line", measured()),
    "`marks`, limit of error 1 mL": part("marks", measured(Tube("volume", 1.0, tolerance=1.0))),
    "`calibration`, marks weighed": part("calibration", measured(WEIGHED)),
    "`fuel_water` ± 0.5 %": part("fuel_water", measured()),
    "`temperature`, guessed": part("temperature", GUESSED),
    "`temperature`, measured": part("temperature", measured()),
    "`water_temperature`, guessed": part("water_temperature", GUESSED),
    "`water_temperature`, measured": part("water_temperature", measured()),
    "`fuel_temperature`, guessed": part("fuel_temperature", GUESSED),
    "`fuel_temperature`, measured": part("fuel_temperature", measured()),
    "`exchange` ±": part("exchange", measured()),
    "`scale_kind`, unknown": unknown_kind,
    "one run, temperatures measured": whole(measured()),
    "one run, temperatures guessed": whole(GUESSED),
    "two runs, temperatures measured": whole(measured(runs=2)),
    "nine runs, temperatures measured": whole(measured(runs=9)),
}


def rows_of_page() -> dict[str, list[str]]:
    """The table rows with six numbers."""
    lines = [line.strip("|").split("|") for line in PAGE.read_text(encoding="utf-8").splitlines() if line[:1] == "|"]
    return {cells[0].strip(): [cell.strip() for cell in cells[1:]] for cells in lines if len(cells) == 7}


@pytest.mark.parametrize("name", ROWS)
def test_the_readme_has_the_numbers_that_the_code_computes(name: str) -> None:
    computed = [ROWS[name](water, fuel, content) for water, fuel in FILLINGS for content in CONTENTS]
    assert rows_of_page()[name] == computed


def test_the_readme_leaves_out_no_row_and_no_component() -> None:
    headings = {"Correction, points", "Component, points", "Uncertainty ± %, 95 %", "---"}
    assert set(rows_of_page()) - headings == set(ROWS)
    said = PAGE.read_text(encoding="utf-8")
    assert [name for name in NAMES if f"`{name}`" not in said] == []
