"""The app's suggestion on a few photos of `study/tubes` with unused seeds; and what such photos show.

`tube_study.py` measures how good the suggestion is; a few photos only show regressions.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from study.tubes.families import scene
from study.tubes.judged import Outcome, outcomes
from study.tubes.picture import draw
from study.tubes.sets import Set
from study.tubes.table import between
from study.tubes.things import Filling, Scene, Slab

FEW = Set(
    "few", 900_000_000, {"bench": 2, "forecourt": 2, "kitchen": 2, "night": 2}, {"bench": 2, "kitchen": 1, "night": 1}
)


@pytest.fixture(scope="module")
def found(node: Any) -> list[Outcome]:
    return list(outcomes(FEW.tasks()))


def test_most_lines_are_found_within_one_percent_of_the_fuel_column(found: list[Outcome]) -> None:
    errors = [one.error for one in found if one.kind == "clear"]
    assert sum(error is not None and abs(error) <= 0.01 for error in errors) >= 0.8 * len(errors)


def test_the_half_width_covers_the_true_line(found: list[Outcome]) -> None:
    given = [(one.error, one.half_width) for one in found if one.error is not None and one.half_width is not None]
    assert all(half_width >= abs(error) for error, half_width in given if abs(error) <= 0.01)


def test_milky_tubes_have_no_suggestion(found: list[Outcome]) -> None:
    assert all(one.error is None for one in found if one.kind == "milky")


def plain(above: float) -> Scene:
    """Dark fuel on clear water in even light, without print, blur or tilt, seen from an angle."""
    made = scene("kitchen", "clear", 7)
    border, top = made.tube.height(made.line), made.filling.top
    slabs = (
        Slab(-20.0, border, 1.35, (0.0, 0.0, 0.0)),
        Slab(border, top, 1.42, (0.2, 0.2, 0.2)),
        Slab(top, 1e4, 1.0, (0.0, 0.0, 0.0)),
    )
    filling = Filling(slabs, (0.0, 0.0), (0.0, 0.0), 0.0, 1.0, border, top)
    shot = replace(made.shot, above=above, roll=0.0, shake=(0.0, 0.0), blur=0.3, electrons=1e9, read=0.0, smear=0.0)
    return replace(made, filling=filling, print=replace(made.print, opacity=0.0), shines=(), shot=shot)


@pytest.mark.parametrize("above", [0.0, 0.1])
def test_the_drawn_line_is_where_the_truth_says(above: float) -> None:
    picture = draw(plain(above))
    x, y = picture.truth
    down = picture.pixels[:, int(x) - 4 : int(x) + 5, 0].mean(axis=1)
    near = down[int(y) - 40 : int(y) + 40]
    edge = int(y) - 40 + int(np.argmax(np.diff(near))) + 1
    # The border is behind the wall with the mark, so from above it appears that much higher.
    assert abs(edge - y) < 1.5 + above * 30


def test_intervals_of_shares_are_the_published_ones() -> None:
    # R. G. Newcombe, Stat. Med. 17 (1998) 857, table I: 81 of 263 and 15 of 148.
    assert between(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)
    assert between(15, 148) == pytest.approx((0.0624, 0.1605), abs=5e-5)
