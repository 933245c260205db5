"""Finds sources close to a new one, in the database and in the same batch."""

from collections import defaultdict
from collections.abc import Sequence
from math import floor

from msgspec import json

from splitline.checking.places import NEAR_KM, Place
from splitline.position import Position, box_around
from splitline.records import Source
from splitline.store import box_join
from splitline.store.engine import Connection
from splitline.store.rows import SourceRow

# Bands of latitude, each slightly wider than `NEAR_KM`: near sources are in the same band or the next one.
ROWS_PER_DEGREE = 100


class Nearby:
    """Sources by band of latitude, which avoids comparing all pairs of a large batch."""

    def __init__(self) -> None:
        self._rows: defaultdict[int, dict[str, Place]] = defaultdict(dict)
        self._where: dict[str, int] = {}

    async def load(self, connection: Connection, arriving: Sequence[Source]) -> None:
        """Load the sources near these."""
        boxes = [box_around(Position(source.latitude, source.longitude), NEAR_KM) for source in arriving]
        for row in await box_join.within_any(connection, boxes):
            self.put(row)

    def put(self, row: SourceRow) -> None:
        """Update a source; one that is not counted is removed."""
        self.forget(row.id)
        if row.state == "counted" and row.record:
            place = place_of(json.decode(row.record, type=Source))
            where = self._where[row.id] = _row(place.position)
            self._rows[where][row.id] = place

    def forget(self, source: str) -> None:
        """Remove a source."""
        before = self._where.pop(source, None)
        if before is not None:
            del self._rows[before][source]

    def around(self, source: Source) -> list[Place]:
        """Return candidates near a source, including some that are farther away."""
        here = _row(Position(source.latitude, source.longitude))
        return [place for row in (here - 1, here, here + 1) for place in self._rows[row].values()]


def place_of(source: Source) -> Place:
    """Return a source as a place."""
    return Place(source.id, source.name, source.pump, Position(source.latitude, source.longitude))


def _row(position: Position) -> int:
    return floor(position.latitude * ROWS_PER_DEGREE)
