"""The same place entered twice: found by distance and name."""

from math import cos, radians

import pytest

from splitline.checking.places import Place, similar_source
from splitline.position import EARTH_RADIUS, Position

LATITUDE = 45.75
# Metres per degree, from the earth's radius alone.
DEGREE = radians(1) * EARTH_RADIUS * 1000


def place(number: int, east: float = 0.0, north: float = 0.0, name: str = "", pump: str = "") -> Place:
    """A place so many metres away from the first."""
    position = Position(LATITUDE + north / DEGREE, 3.05 + east / DEGREE / cos(radians(LATITUDE)))
    return Place(f"id-{number}", name or f"Name of its own {number}", pump, position)


@pytest.mark.parametrize(
    ("other", "found"),
    [
        (place(2, east=149), True),
        (place(2, north=149), True),
        (place(2, east=151, name="Quite another"), False),
        (place(2, east=999, name="Halt am Moor"), True),
        (place(2, east=999, name="am Moor, HALT"), True),
        (place(2, east=999, name="Halt am Moor GmbH"), True),
        (place(2, east=999, name="Halte am Moor"), True),
        (place(2, east=1001, name="Halt am Moor"), False),
        (place(2, east=500, name="Rast an der Brücke"), False),
    ],
)
def test_similar_sources_are_found_by_distance_and_name(other: Place, found: bool) -> None:
    problem = similar_source(place(1, name="Halt am Moor"), [other])
    assert (problem is not None) == found
    if problem:
        assert (problem.code, problem.value, problem.limit) == ("similar_source", "id-2", other.name)


def test_two_pumps_of_one_station_are_two_sources() -> None:
    assert similar_source(place(1, pump="Pump 4"), [place(2, pump="Reserve")]) is None
    assert similar_source(place(1, pump="Pump 4"), [place(2, pump="pump 4")])
    assert similar_source(place(1, pump="Pump 4"), [place(2)])


def test_the_nearest_similar_source_is_named_and_never_itself() -> None:
    others = [place(1), place(2, east=90), place(3, east=-40), place(4, east=140)]
    problem = similar_source(place(1), others)
    assert problem is not None
    assert problem.value == "id-3"
