"""Impossible tests are refused with a list of all faults, alone and in a batch."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from splitline.chemistry.budget import Figures, result, results
from splitline.chemistry.measurement import CalibrationMark, Liquid, Measurement, Run, Tube
from splitline.errors import Problem, Unusable

VOLUME = Measurement(Tube("volume", 1.0), (Run(50.0, 50.0, line=85.0), Run(50.0, 50.0, line=85.5)), 20.0, True, 0.5)
PERCENT = Measurement(Tube("linear", 1.0), (Run(50.0, 50.0, percent=70.0), Run(50.0, 50.0, percent=71.0)), 20.0, True)
RUN, TUBE, MARK = "runs[1]", "tube", "tube.calibration[0].true"

Spoil = Callable[[Measurement], Measurement]


def _test(**spoilt: Any) -> Spoil:
    return lambda good: replace(good, **spoilt)


def _tube(**spoilt: Any) -> Spoil:
    return lambda good: replace(good, tube=replace(good.tube, **spoilt))


def _run(**spoilt: float | Tube | None) -> Spoil:
    return lambda good: replace(good, runs=(good.runs[0], replace(good.runs[1], **spoilt)))


def _marks(*marks: tuple[float, float]) -> Spoil:
    return _tube(calibration=tuple(CalibrationMark(*mark) for mark in marks))


OF_ALL = [
    (_test(temperature=-20.1), Problem("temperature_range", "temperature", "-20.1", "-20..40")),
    (_test(temperature=40.1), Problem("temperature_range", "temperature", "40.1", "-20..40")),
    (_test(water_temperature=40.1), Problem("temperature_range", "water_temperature", "40.1", "-20..40")),
    (_test(fuel_temperature=-20.1), Problem("temperature_range", "fuel_temperature", "-20.1", "-20..40")),
    (_test(fuel_water=-0.1), Problem("fuel_water_range", "fuel_water", "-0.1", "0..10")),
    (_test(fuel_water=10.1), Problem("fuel_water_range", "fuel_water", "10.1", "0..10")),
    (_test(runs=()), Problem("runs_count", "runs", "0", "1..9")),
    (lambda good: replace(good, runs=good.runs * 5), Problem("runs_count", "runs", "10", "1..9")),
    (_tube(graduation=0.009), Problem("graduation_range", f"{TUBE}.graduation", "0.009", "0.01..50")),
    (_tube(graduation=50.1), Problem("graduation_range", f"{TUBE}.graduation", "50.1", "0.01..50")),
    (_tube(tolerance=-0.1), Problem("tolerance_range", f"{TUBE}.tolerance", "-0.1", "0..50")),
    (_tube(tolerance=50.1), Problem("tolerance_range", f"{TUBE}.tolerance", "50.1", "0..50")),
    (_tube(offset=-15.1), Problem("offset_range", f"{TUBE}.offset", "-15.1", "-15..15")),
    (_tube(offset=15.1), Problem("offset_range", f"{TUBE}.offset", "15.1", "-15..15")),
    (_marks((50.0, 39.9), (100.0, 100.0)), Problem("calibration_range", MARK, "39.9", "50 +- 10")),
    (_marks((50.0, 50.1), (50.0, 50.2)), Problem("calibration_twice", f"{TUBE}.calibration")),
    (_run(water=0.4), Problem("fill_range", f"{RUN}.water", "0.4", "0.5..2000")),
    (_run(water=2000.1), Problem("fill_range", f"{RUN}.water", "2000.1", "0.5..2000")),
    (_run(fuel=0.4), Problem("fill_range", f"{RUN}.fuel", "0.4", "0.5..2000")),
    (_run(fuel=2000.1), Problem("fill_range", f"{RUN}.fuel", "2000.1", "0.5..2000")),
    (_run(line_half_width=0.0), Problem("line_half_width_range", f"{RUN}.line_half_width", "0", "> 0, <= 12.5")),
    (_run(line_half_width=12.6), Problem("line_half_width_range", f"{RUN}.line_half_width", "12.6", "> 0, <= 12.5")),
]
OF_VOLUME = [
    (_run(line=None), Problem("line_kind", f"{RUN}.line", "", "line")),
    (_run(percent=70.0), Problem("line_kind", f"{RUN}.line", "", "line")),
    (_run(line=None, percent=70.0), Problem("line_kind", f"{RUN}.line", "", "line")),
    (_run(water=46.0, fuel=54.0), Problem("fill_share", f"{RUN}.fuel", "54", "10..50")),
    (_run(water=180.0, fuel=19.9, line=185.0), Problem("fill_share", f"{RUN}.fuel", "19.9", "19.99..99.95")),
    (_run(tube=Tube("volume", 1.0, "brine")), Problem("liquids_differ", "runs")),
    (_run(tube=Tube("volume", 50.1)), Problem("graduation_range", f"{TUBE}.graduation", "50.1", "0.01..50")),
    (_run(line=49.9), Problem("line_below_water", f"{RUN}.line", "49.9", ">= 50")),
    (_run(line=100.1), Problem("line_above_fill", f"{RUN}.line", "100.1", "<= 100")),
    (_run(top=85.4), Problem("top_range", f"{RUN}.top", "85.4", "85.5..105")),
    (_run(top=105.1), Problem("top_range", f"{RUN}.top", "105.1", "85.5..105")),
]
OF_PERCENT = [
    (_run(percent=None), Problem("line_kind", f"{RUN}.percent", "", "percent")),
    (_run(line=85.0), Problem("line_kind", f"{RUN}.percent", "", "percent")),
    (_run(percent=-0.1), Problem("percent_range", f"{RUN}.percent", "-0.1", "0..100")),
    (_run(percent=100.1), Problem("percent_range", f"{RUN}.percent", "100.1", "0..100")),
    (_run(top=49.9), Problem("top_range", f"{RUN}.top", "49.9", "50..105")),
    (_tube(scale="corrected", liquid="brine"), Problem("brine_scale", f"{TUBE}.scale", "corrected", "volume, linear")),
    (_tube(scale="unknown", liquid="brine"), Problem("brine_scale", f"{TUBE}.scale", "unknown", "volume, linear")),
]
CASES = [(VOLUME, *case) for case in [*OF_ALL, *OF_VOLUME]] + [(PERCENT, *case) for case in [*OF_ALL, *OF_PERCENT]]


@pytest.mark.parametrize(("good", "spoil", "wrong"), CASES, ids=[f"{c[0].tube.scale}-{c[2]}" for c in CASES])
def test_an_out_of_range_test_is_refused_and_its_neighbours_are_not(good: Measurement, spoil: Spoil, wrong: Problem):
    with pytest.raises(Unusable) as alone:
        result(spoil(good))
    assert alone.value.problems == [wrong]
    first, found, last = results([good, spoil(good), good])
    assert found == [wrong]
    assert first == last == results([good])[0]
    assert isinstance(first, Figures)


def test_all_faults_are_listed_run_by_run():
    runs = (Run(0.1, 0.2, line=85.0), Run(50.0, 50.0, line=85.0), Run(50.0, 50.0, line=20.0, top=10.0))
    found = results([Measurement(Tube("volume", 99.0), runs, 99.0, True, 99.0)])
    assert [[problem.field for problem in problems] for problems in found] == [
        ["temperature", "fuel_water", "tube.graduation", "runs[0].water", "runs[0].fuel", "runs[2].line", "runs[2].top"]
    ]


def test_a_batch_may_be_all_refused_or_empty():
    refused = replace(VOLUME, runs=())
    assert results([refused, refused]) == [[Problem("runs_count", "runs", "0", "1..9")]] * 2
    assert results([]) == []


def test_range_limits_are_inclusive():
    run = Run(2000.0, 2000.0, line=4000.0, top=1.05 * 4000.0, line_half_width=500.0)
    ends = Measurement(Tube("volume", 50.0, tolerance=50.0, offset=15.0), (run,) * 9, -20.0, True, 0.0)
    others = replace(ends, tube=Tube("volume", 0.01, tolerance=0.0, offset=-15.0), temperature=40.0, fuel_water=10.0)
    filled = replace(others, water_temperature=-20.0, fuel_temperature=40.0)
    for found in results([ends, others, filled]):
        codes = set() if isinstance(found, Figures) else {problem.code for problem in found}
        assert codes <= {"content_impossible"}


@pytest.mark.parametrize(("water", "fuel"), [(90.0, 10.0), (50.0, 50.0), (50.0, 50.9), (4.5, 0.5)])
def test_fillings_from_a_tenth_to_a_half_of_fuel_are_evaluated(water: float, fuel: float):
    """Slightly more fuel than water counts as half: people call 50.0 and 50.1 mL half and half."""
    assert isinstance(results([replace(VOLUME, runs=(Run(water, fuel, line=water + 0.7 * fuel),))])[0], Figures)


def test_brine_may_be_more_than_half_fuel():
    """The standard's 50 mL made up to 100, and other volumes by its rule, stay valid."""
    brine = Measurement(Tube("volume", 1.0, "brine"), (Run(40.0, 60.0, line=50.0),))
    assert isinstance(results([brine])[0], Figures)


def codes(measurement: Measurement) -> list[str]:
    (found,) = results([measurement])
    return [problem.code for problem in found] if isinstance(found, list) else []


def test_brine_results_end_at_about_thirty_percent():
    """ABNT NBR 13992's example volumes: a rise of 14 mL is 29 %, one of 20 mL 41 %, with U of about 1.5."""
    tube = Tube("volume", 1.0, "brine")
    assert codes(Measurement(tube, (Run(50.0, 50.0, line=64.0),))) == []
    assert codes(Measurement(tube, (Run(50.0, 50.0, line=70.0),))) == ["brine_strong"]


def test_no_upper_layer_is_left_above_about_98_percent():
    """No number if too little fuel is left above the line; and nonsense stays impossible."""
    fine = Tube("volume", 0.1)
    found = [codes(Measurement(fine, (Run(50.0, 50.0, line=line),), 20.0, True)) for line in (96.3, 96.6, 99.5)]
    assert found == [[], ["no_upper_layer"], ["content_impossible"]]


def test_a_layer_below_its_freezing_point_is_flagged():
    """E10 at 1:1 is 7 % by mass: ice at -20, not at -2 (1.86 K kg/mol: -3.1). E85 is not ice at -20."""

    def warned(line: float, celsius: float, liquid: Liquid = "water") -> bool:
        return (
            "would_freeze"
            in result(Measurement(Tube("volume", 1.0, liquid), (Run(50.0, 50.0, line),), celsius)).warnings
        )

    assert warned(54.5, -20.0)
    assert not warned(54.5, -2.0)
    assert not warned(89.0, -20.0)
    assert not warned(54.5, -20.0, "brine")
