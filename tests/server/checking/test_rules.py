"""The rules one by one: text, clock, physics, duplicates."""

from datetime import UTC, datetime, timedelta
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import ValidationError, convert, json

from helpers.examples import Json, identifier, reading, source
from splitline import records
from splitline.checking import clock, duplicates, physics, text
from splitline.chemistry.budget import MODEL, Figures
from splitline.chemistry.measurement import ScaleKind

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def made(changes: Json | None = None) -> records.Test:
    return convert({**reading(1, at=1), **(changes or {})}, records.Test)


def at(moment: datetime) -> str:
    return moment.isoformat()


def test_control_characters_are_found_and_named() -> None:
    [problem] = text.problems(made({"note": "by\x00the wall"}))
    assert (problem.code, problem.field, problem.value) == ("text_control", "note", "U+0000")
    assert text.problems(made({"note": "two\nlines\tand a tab"})) == []


@pytest.mark.parametrize("odd", ["\x85", "\x9f", "\u202e", "\u2066"])
def test_bidirectional_control_characters_are_found(odd: str) -> None:
    [problem] = text.problems(made({"note": f"left{odd}right"}))
    assert problem.value == f"U+{ord(odd):04X}"
    assert text.problems(made({"note": "محطة الشمال 👩‍🔧 Zürich"})) == []


def test_a_blank_name_counts_as_missing() -> None:
    assert [p.code for p in text.problems(convert(source(1, name="   "), records.Source))] == ["text_blank"]


@pytest.mark.parametrize(
    ("sampled", "tested", "codes"),
    [
        (NOW, NOW, []),
        (NOW, NOW + timedelta(hours=48), []),
        (NOW, NOW + timedelta(hours=48, seconds=1), ["time_ahead"]),
        (NOW + timedelta(hours=1), NOW, []),
        (NOW + timedelta(hours=1, seconds=1), NOW, ["sampled_after"]),
        (datetime(1970, 1, 1, tzinfo=UTC), NOW, ["time_early"]),
    ],
)
def test_times_too_early_too_late_or_out_of_order_are_found(
    sampled: datetime, tested: datetime, codes: list[str]
) -> None:
    test = made({"sampled_at": at(sampled), "tested_at": at(tested)})
    assert [p.code for p in clock.problems(test, NOW)] == codes


@pytest.mark.parametrize("time", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_extreme_dates_are_refused_without_an_exception(time: str) -> None:
    assert clock.problems(made({"sampled_at": time, "tested_at": time}), NOW)
    assert clock.problems(convert(source(1, recorded_at=time), records.Source), NOW)


def test_the_server_computes_the_content_from_the_raw_runs() -> None:
    """88.8 mL from 50 + 50 mL at 20 degrees: 84.00 % by OIML R 22; the exchange is 0.8 points at 80 %, 1.0 at 85 %."""
    (figures,) = physics.figures([made()])
    assert isinstance(figures, Figures)
    assert figures.content == pytest.approx(80 + (84.00 - 80.8) * 5 / 5.2, abs=0.02)
    assert physics.content_differs(made({"content": 83.1, "model": MODEL}), figures) is None
    assert physics.content_differs(made({"content": 83.3, "model": MODEL}), figures)
    assert physics.content_differs(made({"content": 84.0, "model": MODEL - 1}), figures) is None


volumes = st.floats(0, 2000, allow_nan=False) | st.sampled_from([0.0, 5e-324, 1e-300, 1e-9, 2000.0])
runs = st.fixed_dictionaries(
    {"water": volumes, "fuel": volumes},
    optional={"line": volumes, "percent": st.floats(-50, 150), "top": volumes},
)


@given(
    st.lists(runs, min_size=1, max_size=9),
    st.sampled_from(get_args(ScaleKind)),
    st.sampled_from(["water", "brine"]),
    st.floats(1e-300, 50) | st.just(5e-324),
    st.floats(-20, 40),
    st.floats(0, 10),
)
def test_any_input_in_range_gives_figures_or_problems(
    shown: list[Json], scale: str, liquid: str, graduation: float, temperature: float, fuel_water: float
) -> None:
    tube = {"id": identifier(1), "scale": scale, "liquid": liquid, "graduation": graduation}
    (found,) = physics.figures(
        [made({"runs": shown, "tube": tube, "temperature": temperature, "fuel_water": fuel_water})]
    )
    if isinstance(found, Figures):
        assert json.decode(json.encode(found), type=Figures) == found, "a figure is not finite"
        assert found.expanded_uncertainty > 0
        assert found.own_uncertainty > 0
    else:
        assert found


def test_a_twin_has_the_same_source_half_hour_and_runs() -> None:
    key = duplicates.twin_key(made())
    assert duplicates.twin_key(made({"id": identifier(9), "note": "again", "temperature": 12.0})) == key
    for change in (
        {"source": identifier(2)},
        {"sampled_at": "2026-03-01T01:30:00Z"},
        {"runs": [{"water": 50.0, "fuel": 50.0, "line": 88.9}]},
    ):
        assert duplicates.twin_key(made(change)) != key
    assert duplicates.twin_key(made({"sampled_at": "2026-03-01T03:00:00+02:00"})) == key, "the same moment elsewhere"


def test_keys_of_duplicates_stay_what_they_were_when_texts_had_every_field() -> None:
    """Computed with the version before, of a run with nothing but its line and of one with everything."""
    tube = {**reading(1, at=1)["tube"], "offset": 0.5, "calibration": [{"nominal": 50.0, "true": 50.1}]}
    whole = {"water": 50.0, "fuel": 50.0, "line": 89.0, "line_half_width": 0.1, "tube": tube, "set_aside": "spilt"}
    assert duplicates.twin_key(made()) == "edf8b52b9b50a83223b4aa07547ccd8f"
    assert duplicates.twin_key(made({"runs": [whole]})) == "ade0949142ed514386a3b386bc07fe5e"


def test_a_test_is_not_its_own_duplicate() -> None:
    test = made({"photos": ["ab" * 32]})
    assert duplicates.twin_runs(test, duplicates.twin_key(test), {duplicates.twin_key(test): test.id}) is None
    assert duplicates.twin_photo(test, {"ab" * 32: [test.id]}) is None
    assert duplicates.twin_photo(test, {"ab" * 32: [test.id, identifier(5)]})


@pytest.mark.parametrize(("hours", "told"), [(-25, True), (-24, False), (0, False), (24, False), (25, True)])
def test_a_clock_a_day_off_is_flagged(hours: int, told: bool) -> None:
    behind = clock.skew(NOW - timedelta(hours=hours), NOW)
    assert behind == hours * 3600
    assert bool(clock.clock_off(behind)) == told
    assert clock.clock_off(clock.skew(None, NOW)) is None


def of_runs(*set_aside: str) -> records.Test:
    [run] = reading(1, at=1)["runs"]
    return made({"runs": [{**run, "set_aside": why} for why in set_aside]})


def test_less_than_half_of_the_runs_can_be_set_aside() -> None:
    assert physics.set_aside_most(of_runs("")) is None
    assert physics.set_aside_most(of_runs("", "", "misread")) is None
    assert physics.set_aside_most(of_runs("", "", "", "misread", "spilled")) is None
    for runs, limit in ((("misread",), "0"), (("", "misread"), "0"), (("", "", "misread", "spilled"), "1")):
        problem = physics.set_aside_most(of_runs(*runs))
        assert problem is not None
        assert (problem.code, problem.field, problem.limit) == ("set_aside_most", "runs", limit)


def test_the_reason_for_setting_a_run_aside_must_be_readable_text() -> None:
    [problem] = text.problems(of_runs("", "mis\x00read"))
    assert (problem.code, problem.field) == ("text_control", "runs[1].set_aside")
    with pytest.raises(ValidationError):
        of_runs("", "", "  ")


def test_a_run_set_aside_never_counts() -> None:
    [run] = reading(1, at=1)["runs"]
    three = made({"runs": [run, {**run, "line": 1.0, "set_aside": "misread"}, run]})
    assert physics.figures([three]) == physics.figures([made({"runs": [run, run]})])
    late = made({"runs": [{**run, "set_aside": "misread"}, {**run, "line": 1.0}, run]})
    [found] = physics.figures([late])
    assert isinstance(found, list)
    assert [problem.field for problem in found] == ["runs[1].line"], "counted among all runs of the record"
