"""Finds duplicate sources: a new source close to an existing one is proposed for merging."""

from collections.abc import Iterable
from dataclasses import dataclass

from rapidfuzz import fuzz, utils

from splitline.errors import Problem
from splitline.position import Position, distance_km

SAME_KM = 0.15
NEAR_KM = 1.0
SIMILAR = 85.0
"""Least similarity of two names, of 100, ignoring the order of their words."""


@dataclass(frozen=True, slots=True)
class Place:
    """A source for comparison. pump: the label, where a station has several."""

    id: str
    name: str
    pump: str
    position: Position


def similar_source(place: Place, others: Iterable[Place]) -> Problem | None:
    """Flag a source that may be the same as another, naming the nearest."""
    alike = [(distance_km(place.position, other.position), other) for other in others if other.id != place.id]
    near = [(distance, other.id, other) for distance, other in alike if _may_be_one(distance, place, other)]
    if not near:
        return None
    _, _, nearest = min(near, key=lambda found: found[:2])
    return Problem("similar_source", "id", nearest.id, nearest.name)


def _may_be_one(distance: float, one: Place, other: Place) -> bool:
    """Within 150 m, or within 1 km with similar names; two pumps of one station are two sources."""
    if distance > NEAR_KM or (one.pump and other.pump and not _similar(one.pump, other.pump)):
        return False
    return distance <= SAME_KM or _similar(one.name, other.name)


def _similar(one: str, other: str) -> bool:
    return likeness(one, other) >= SIMILAR


def likeness(one: str, other: str) -> float:
    """Return the similarity of two names, 0..100, ignoring word order: the token set ratio."""
    return fuzz.token_set_ratio(one, other, processor=utils.default_process)
