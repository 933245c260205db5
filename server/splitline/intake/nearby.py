"""Which sources stand close to a new one, in the database and in the same batch."""

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

# Rows of the globe, each a little higher than `NEAR_KM`: what is near stands in the same row or in one beside it.
ROWS_PER_DEGREE = 100


class Nearby:
    """Sources by rows of latitude, so that a batch of many need not be compared each with each."""

    def __init__(self) -> None:
        self._rows: defaultdict[int, dict[str, Place]] = defaultdict(dict)
        self._where: dict[str, int] = {}

    async def load(self, connection: Connection, arriving: Sequence[Source]) -> None:
        """Read the sources that stand near these."""
        boxes = [box_around(Position(source.latitude, source.longitude), NEAR_KM) for source in arriving]
        for row in await box_join.within_any(connection, boxes):
            self.put(row)

    def put(self, row: SourceRow) -> None:
        """Take note of what a source is now; one that does not stand on its own is none."""
        self.forget(row.id)
        if row.state == "counted" and row.record:
            place = place_of(json.decode(row.record, type=Source))
            where = self._where[row.id] = _row(place.position)
            self._rows[where][row.id] = place

    def forget(self, source: str) -> None:
        """Take back what was noted of a source."""
        before = self._where.pop(source, None)
        if before is not None:
            del self._rows[before][source]

    def around(self, source: Source) -> list[Place]:
        """Return what may stand near a source, and some that are farther."""
        here = _row(Position(source.latitude, source.longitude))
        return [place for row in (here - 1, here, here + 1) for place in self._rows[row].values()]


def place_of(source: Source) -> Place:
    """Return a source as a place."""
    return Place(source.id, source.name, source.pump, Position(source.latitude, source.longitude))


def _row(position: Position) -> int:
    return floor(position.latitude * ROWS_PER_DEGREE)
