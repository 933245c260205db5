"""The suggestion on drawn profiles, where the right answer is known without a camera."""

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitline.chemistry.edge import BELOW, PER_COLUMN, SAMPLES, Profile, find_line

Colour = tuple[float, float, float]
WATER: Colour = (180.0, 5.0, -5.0)
FUEL: Colour = (150.0, -20.0, 30.0)
MILK: Colour = (215.0, 0.0, 0.0)
WALL: Colour = (120.0, 0.0, 4.0)


def sample(share: float) -> float:
    """The number of the sample at a share of the fuel column."""
    return BELOW + PER_COLUMN * share


def profile(inside: Callable[[float], Colour], beside: Callable[[float], Colour] = lambda _: WALL) -> Profile:
    """Seven strips of one colouring and two of another, with noise of one level."""
    random = Random(5)

    def strip(colour: Callable[[float], Colour]) -> list[list[float]]:
        shares = ((i - BELOW) / PER_COLUMN for i in range(SAMPLES))
        return [[level + random.gauss(0, 1) for level in colour(share)] for share in shares]

    return Profile([strip(inside) for _ in range(7)], [strip(beside) for _ in range(2)])


def mixed(low: Colour, high: Colour, share: float) -> Colour:
    a, b, c = ((1 - share) * x + share * y for x, y in zip(low, high, strict=True))
    return (a, b, c)


@settings(max_examples=40)
@given(st.floats(0.05, 0.88))
def test_a_sharp_line_is_found_where_it_is(at: float) -> None:
    found = find_line(profile(lambda share: WATER if share < at else FUEL))
    assert found
    assert abs(found.share - at) < 1.5 / PER_COLUMN
    assert 0 < found.half_width < 0.01


def test_graduations_neither_hide_nor_move_the_line() -> None:
    def printed(share: float) -> Colour:
        return (40.0, 0.0, 0.0) if round(sample(share)) % 20 < 5 else WATER if share < 0.7 else FUEL

    found = find_line(profile(printed))
    assert found
    assert abs(found.share - 0.7) < 0.01


@pytest.mark.parametrize(
    "colour",
    [
        pytest.param(lambda _: WATER, id="one colour"),
        pytest.param(lambda share: WATER if share < 0.5 else MILK if share < 0.6 else FUEL, id="a band of milk"),
        pytest.param(lambda share: mixed(WATER, FUEL, min(max((share - 0.3) / 0.3, 0), 1)), id="a slow change"),
        pytest.param(lambda share: WATER if share < 0.93 else FUEL, id="only the fuel's own surface"),
    ],
)
def test_no_clear_line(colour: Callable[[float], Colour]) -> None:
    assert find_line(profile(colour)) is None


def test_an_edge_behind_the_tube_is_no_second_line() -> None:
    def inside(share: float) -> Colour:
        a, b, c = WATER if share < 0.7 else FUEL
        return (a - 25 if share < 0.3 else a, b, c)

    def wall(share: float) -> Colour:
        return (90.0, 0.0, 4.0) if share < 0.31 else WALL

    assert find_line(profile(inside)) is None
    found = find_line(profile(inside, wall))
    assert found
    assert abs(found.share - 0.7) < 0.01
