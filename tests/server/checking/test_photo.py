"""Marks on a photo: the line is recomputed from the picture's geometry and flagged if the run disagrees."""

from datetime import UTC, datetime
from typing import Any

import pytest
from msgspec import convert

from helpers.examples import Json, person, reading, source, texts
from splitline import records
from splitline.checking.photo import marks_differ, marks_photo
from splitline.intake.intake import Intake

PHOTO = "ab" * 32


def seen(volume: float, near: float = 1.0, far: float = 1.0) -> Json:
    """Where a pinhole camera sees a volume of a tilted tube of 1 mL per mm, pixels.

    near, far: relative distances of 0 mL and 100 mL from the camera; the scale is inverse to the distance.
    """
    share = volume / 100.0
    depth = near + share * (far - near)
    return {"x": 400.0 + 20.0 * share / depth, "y": 1500.0 - 1200.0 * share / depth}


def marks(line: float, far: float = 1.0, **changes: Any) -> Json:
    made = {
        "photo": PHOTO,
        "bottom_volume": 10.0,
        **{name: seen(at, far=far) for name, at in (("bottom", 10.0), ("water", 50.0), ("fuel", 100.0))},
        "line": seen(line, far=far),
    }
    return {**made, **changes}


def made(run: Json, photos: tuple[str, ...] = (PHOTO,), scale: str = "volume", graduation: float = 1.0) -> records.Test:
    tube = {"id": reading(1, at=1)["tube"]["id"], "scale": scale, "graduation": graduation}
    runs = [{"water": 50.0, "fuel": 50.0, **run}]
    return convert({**reading(1, at=1), "runs": runs, "photos": photos, "tube": tube}, records.Test)


def test_marks_must_name_a_photo_of_the_test() -> None:
    run = {"line": 88.8, "marks": marks(88.8)}
    assert marks_photo(made(run)) == []
    [problem] = marks_photo(made(run, photos=("cd" * 32,)))
    assert (problem.code, problem.field, problem.value) == ("marks_photo", "runs[0].marks.photo", PHOTO)
    assert [p.code for p in marks_photo(made(run, photos=()))] == ["marks_photo"]


@pytest.mark.parametrize("far", [1.0, 1.3, 0.8])
def test_marks_that_agree_with_the_line_pass_at_any_tilt(far: float) -> None:
    assert marks_differ(made({"line": 88.8, "line_half_width": 0.01, "marks": marks(88.8, far)}, graduation=0.05)) == []


@pytest.mark.parametrize(
    ("line", "half_width", "graduation", "flagged"),
    [
        (87.9, 0.2, 1.0, False),  # within one step
        (87.7, 0.2, 1.0, True),
        (87.7, 0.6, 1.0, False),  # within twice the half-width
        (87.5, 0.6, 1.0, True),
        (88.5, 0.2, 0.1, False),
        (88.3, 0.2, 0.1, True),
        (87.7, None, 1.0, True),
    ],
)
def test_a_run_may_differ_by_a_step_or_by_two_half_widths(
    line: float, half_width: float | None, graduation: float, flagged: bool
) -> None:
    run = {"line": line, "line_half_width": half_width, "marks": marks(88.8, far=1.2)}
    found = marks_differ(made(run, graduation=graduation))
    assert [problem.code for problem in found] == (["marks_differ"] if flagged else [])
    if flagged:
        assert (found[0].value, found[0].limit) == ("88.8", f"{line:.1f}")


def test_a_percent_reading_is_compared_by_volume() -> None:
    """Half a filling of 50 mL above the water: 75 mL is 50 printed percent on an even scale."""
    assert marks_differ(made({"percent": 50.0, "marks": marks(75.0)}, scale="linear")) == []
    assert marks_differ(made({"percent": 53.0, "marks": marks(75.0)}, scale="linear"))
    assert marks_differ(made({"percent": 50.0, "marks": marks(75.0)}, scale="corrected"))
    assert marks_differ(made({"percent": 50.0, "marks": marks(75.0)}, scale="unknown")) == []


def test_degenerate_marks_are_flagged_too() -> None:
    swapped = marks(88.8, water=seen(100.0), fuel=seen(50.0))
    found = marks_differ(made({"line": 88.8, "marks": swapped}))
    assert {problem.field for problem in found} >= {"runs[0].marks.water"}
    assert "marks_differ" not in {problem.code for problem in found}


async def test_intake_refuses_a_missing_photo_and_flags_a_differing_line(intake: Intake) -> None:
    shown = {"photos": [PHOTO], "runs": [{"water": 50.0, "fuel": 50.0, "line": 88.8, "marks": marks(84.0)}]}
    unseen = {**shown, "photos": []}
    answers = await intake.receive(
        person(1), texts(source(1), reading(1, at=1, **shown), reading(2, at=1, **unseen)), datetime.now(UTC)
    )
    assert [answer.status for answer in answers] == ["stored", "stored", "refused"]
    assert [[problem.code for problem in answer.problems] for answer in answers[1:]] == [
        ["marks_differ"],
        ["marks_photo"],
    ]
