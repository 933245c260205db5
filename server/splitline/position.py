"""Distances and bearings on the ground, from WGS 84 degrees."""

from dataclasses import dataclass
from math import asin, atan2, cos, degrees, floor, radians, sin, sqrt

# Mean radius of the Earth in km (IUGG, Moritz 2000); distances on a sphere are within 0.6 % of the ellipsoid.
EARTH_RADIUS = 6371.0088


# The globe is divided into rows of half a degree of latitude: a box spans few of them, and in each it is one range of
# longitudes.
BANDS_PER_DEGREE = 2


@dataclass(frozen=True, slots=True)
class Position:
    """A position in WGS 84 degrees."""

    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True)
class Box:
    """The latitudes and longitudes around a circle; west > east where the box crosses the 180th meridian."""

    south: float
    north: float
    west: float
    east: float


def band_of(latitude: float) -> int:
    """Return the row of the globe for a latitude, -180..180 from south to north."""
    return floor(latitude * BANDS_PER_DEGREE)


def distance_km(one: Position, other: Position) -> float:
    """Return the great-circle distance in km (haversine formula)."""
    north = radians(other.latitude - one.latitude)
    east = radians(other.longitude - one.longitude)
    chord = sin(north / 2) ** 2 + cos(radians(one.latitude)) * cos(radians(other.latitude)) * sin(east / 2) ** 2
    return 2 * EARTH_RADIUS * asin(min(1.0, sqrt(chord)))


def bearing_deg(one: Position, other: Position) -> float:
    """Return the initial bearing from one position to the other, 0..360 degrees clockwise from north."""
    start, end = radians(one.latitude), radians(other.latitude)
    east = radians(other.longitude - one.longitude)
    turn = atan2(sin(east) * cos(end), cos(start) * sin(end) - sin(start) * cos(end) * cos(east))
    return degrees(turn) % 360.0


def box_around(centre: Position, radius_km: float) -> Box:
    """Return the box around everything within radius_km; all longitudes near a pole."""
    reach = degrees(radius_km / EARTH_RADIUS)
    south, north = centre.latitude - reach, centre.latitude + reach
    if south <= -90.0 or north >= 90.0:
        return Box(max(south, -90.0), min(north, 90.0), -180.0, 180.0)
    sideways = sin(radians(reach)) / cos(radians(centre.latitude))
    if reach >= 90.0 or sideways >= 1.0:
        return Box(south, north, -180.0, 180.0)
    spread = degrees(asin(sideways))
    west, east = centre.longitude - spread, centre.longitude + spread
    return Box(south, north, west + 360.0 if west < -180.0 else west, east - 360.0 if east > 180.0 else east)
