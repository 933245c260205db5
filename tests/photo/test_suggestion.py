"""The app's suggestion on the first pictures of the benchmark's first seed: `benchmark.py` measures how good it is."""

from typing import Any

import pytest

from photo.benchmark import LEVEL, SEEDS, Outcome, outcomes, share
from photo.render import View
from photo.scene import random_scene

SET = SEEDS[0]


@pytest.fixture(scope="module")
def clear(node: Any) -> list[Outcome]:
    return [one for one in outcomes(SET, "clear", 24) if one.visible]


@pytest.fixture(scope="module")
def milky(node: Any) -> list[Outcome]:
    return [one for one in outcomes(SET + 100_000, "milky", 12) if one.visible]


def test_a_line_that_is_suggested_is_within_one_percent_of_the_fuel_column(clear: list[Outcome]) -> None:
    assert len(clear) >= 20
    assert share(clear, lambda one: one.right) >= 0.80
    assert share(clear, lambda one: one.error is None or one.right) >= 0.95


def test_a_milky_layer_has_no_suggestion(milky: list[Outcome]) -> None:
    assert len(milky) >= 10
    assert share(milky, lambda one: one.error is None) >= 0.90


def test_the_half_width_covers_the_line(clear: list[Outcome]) -> None:
    given = [one for one in clear if one.right]
    assert share(given, lambda one: abs(one.error or 0.0) <= (one.half_width or 0.0)) >= 0.90


def test_the_set_is_as_varied_as_stated() -> None:
    """Asked of the first 48 scenes, which need not be rendered for it."""
    scenes = [random_scene(SET + number, "clear", LEVEL) for number in range(48)]
    tilts = [abs(View(scene).tilt) for scene in scenes]
    assert max(tilts) > 30
    assert sum(tilt > 15 for tilt in tilts) > len(tilts) / 4
    assert {scene.what.split(",")[0] for scene in scenes} == {"clear", "straw", "amber", "red", "green", "blue"}
