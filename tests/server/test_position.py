"""Distances and bearings against known values, and boxes against distances."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitline.position import EARTH_RADIUS, Position, bearing_deg, box_around, distance_km

places = st.builds(Position, st.floats(-90, 90), st.floats(-180, 180))


def test_one_degree_along_the_equator_and_along_a_meridian() -> None:
    """A 360th of the circumference of a sphere of mean radius 6371.0088 km: 111.195 km."""
    assert distance_km(Position(0, 0), Position(0, 1)) == pytest.approx(111.195, abs=0.001)
    assert distance_km(Position(44, 3), Position(45, 3)) == pytest.approx(111.195, abs=0.001)


def test_the_distance_between_two_airports_is_the_published_one() -> None:
    """BNA to LAX, the usual worked example of the haversine formula: 2886.44 km with a radius of 6371.0 km."""
    found = distance_km(Position(36.12, -86.67), Position(33.94, -118.40))
    assert found * 6371.0 / EARTH_RADIUS == pytest.approx(2886.44, abs=0.01)


@pytest.mark.parametrize(("to", "bearing"), [((1, 0), 0), ((0, 1), 90), ((-1, 0), 180), ((0, -1), 270)])
def test_bearings_to_the_four_points_of_the_compass(to: tuple[float, float], bearing: float) -> None:
    assert bearing_deg(Position(0, 0), Position(*to)) == pytest.approx(bearing)


@given(places, places, st.floats(0.1, 1000))
def test_a_box_contains_its_circle(centre: Position, other: Position, radius: float) -> None:
    if distance_km(centre, other) > radius * 0.999:
        return
    box = box_around(centre, radius)
    assert box.south <= other.latitude <= box.north
    west, east = other.longitude >= box.west, other.longitude <= box.east
    assert (west and east) if box.west <= box.east else (west or east)


def test_a_box_may_cross_the_180th_meridian() -> None:
    box = box_around(Position(-17.0, 179.9), 50)
    assert box.west > box.east
