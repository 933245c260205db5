"""Whatever the camera, three known marks give back the volume at the line."""

from math import cos, hypot, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splitline.chemistry.axis import Marks, Place, line_half_width, line_of_marks, mark_sensitivities, place_of_volume
from splitline.errors import Unusable

volumes = st.floats(5, 95)
cameras = st.tuples(st.floats(-3.1, 3.1), st.floats(-0.35, 0.35), st.floats(3, 30), st.floats(100, 2000))


def seen(volume: float, camera: tuple[float, float, float, float]) -> Place:
    """A point of the tube's axis in the picture: the general projective map of a line, turned and shifted."""
    turn, nearness, size, shift = camera
    along = size * volume / (1 + nearness * volume / 100)
    return Place(shift + along * sin(turn), shift - along * cos(turn))


def marks(line: float, camera: tuple[float, float, float, float]) -> Marks:
    return Marks(seen(0, camera), seen(50, camera), seen(100, camera), seen(line, camera))


@given(volumes, cameras)
def test_any_camera_gives_back_the_volume(line, camera):
    assert line_of_marks(marks(line, camera), 0, 50, 100) == pytest.approx(line, abs=1e-6)


@given(volumes, cameras)
def test_a_volume_is_seen_where_it_is(line, camera):
    found, there = place_of_volume(marks(50, camera), line, 0, 50, 100), seen(line, camera)
    assert hypot(found.x - there.x, found.y - there.y) < 1e-5


@given(st.floats(10, 90), cameras)
def test_sensitivities_are_the_slopes_along_the_axis(line, camera):
    """Against central differences of the map itself, for each mark moved along the axis toward the fuel mark."""
    placed = marks(line, camera)
    length = hypot(placed.fuel.x - placed.bottom.x, placed.fuel.y - placed.bottom.y)
    way = ((placed.fuel.x - placed.bottom.x) / length, (placed.fuel.y - placed.bottom.y) / length)
    found = mark_sensitivities(placed, 0, 50, 100)
    step = 1e-3

    def moved(name: str, by: float) -> float:
        places = {n: getattr(placed, n) for n in ("bottom", "water", "fuel", "line")}
        places[name] = Place(places[name].x + by * way[0], places[name].y + by * way[1])
        return line_of_marks(Marks(**places), 0, 50, 100)

    for name in ("bottom", "water", "fuel", "line"):
        slope = (moved(name, step) - moved(name, -step)) / (2 * step)
        assert getattr(found, name) == pytest.approx(slope, rel=1e-3, abs=1e-5)


@given(volumes, cameras, st.floats(0.5, 20))
def test_a_wider_line_is_less_sure(line, camera, pixels):
    placed = marks(line, camera)
    assert line_half_width(placed, 0, 50, 100, 2 * pixels, 1) > line_half_width(placed, 0, 50, 100, pixels, 1) > 0


@given(volumes, cameras)
def test_marks_out_of_order_are_told(line, camera):
    placed = marks(line, camera)
    assume(abs(line - 50) > 1)
    with pytest.raises(Unusable) as fault:
        line_of_marks(Marks(placed.water, placed.bottom, placed.fuel, placed.line), 0, 50, 100)
    assert {problem.code for problem in fault.value.problems} <= {"marks_order", "marks_close", "line_off_marks"}
