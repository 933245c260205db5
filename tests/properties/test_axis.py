"""With any camera, three known marks give back the volume at the line."""

from math import cos, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splitline.chemistry.axis import Marks, Place, line_of_marks
from splitline.errors import Unusable

volumes = st.floats(5, 95)
cameras = st.tuples(st.floats(-3.1, 3.1), st.floats(-0.35, 0.35), st.floats(3, 30), st.floats(100, 2000))


def seen(volume: float, camera: tuple[float, float, float, float]) -> Place:
    """A point of the tube's axis in the picture: the general projective map of a line, rotated and shifted."""
    turn, nearness, size, shift = camera
    along = size * volume / (1 + nearness * volume / 100)
    return Place(shift + along * sin(turn), shift - along * cos(turn))


def marks(line: float, camera: tuple[float, float, float, float]) -> Marks:
    return Marks(seen(0, camera), seen(50, camera), seen(100, camera), seen(line, camera))


@given(volumes, cameras)
def test_any_camera_gives_back_the_volume(line, camera):
    assert line_of_marks(marks(line, camera), 0, 50, 100) == pytest.approx(line, abs=1e-6)


@given(volumes, cameras)
def test_marks_out_of_order_are_refused(line, camera):
    placed = marks(line, camera)
    assume(abs(line - 50) > 1)
    with pytest.raises(Unusable) as fault:
        line_of_marks(Marks(placed.water, placed.bottom, placed.fuel, placed.line), 0, 50, 100)
    assert {problem.code for problem in fault.value.problems} <= {"marks_order", "marks_close", "line_off_marks"}
