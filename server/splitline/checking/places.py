"""Same place twice: a source that somebody adds where there is one already is offered for merging."""

from collections.abc import Iterable
from dataclasses import dataclass

from rapidfuzz import fuzz, utils

from splitline.errors import Problem
from splitline.position import Position, distance_km

SAME_KM = 0.15
NEAR_KM = 1.0
SIMILAR = 85.0
"""Of 100: how much of the words of two names has to be alike, in any order."""


@dataclass(frozen=True, slots=True)
class Place:
    """A source as somebody who looks for it sees it. pump: the label, where a station has several."""

    id: str
    name: str
    pump: str
    position: Position


def similar_source(place: Place, others: Iterable[Place]) -> Problem | None:
    """Remark on a source that may be the same as another: the nearest such is named."""
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
    """Return how much two names have in common, 0..100, whatever the order of their words: the token set ratio."""
    return fuzz.token_set_ratio(one, other, processor=utils.default_process)
