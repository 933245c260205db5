"""A query by boxes finds exactly the sources inside one of them."""

from datetime import UTC, datetime
from random import Random

from splitline.position import Box, Position, box_around
from splitline.store import box_join, sources
from splitline.store.engine import Store
from splitline.store.rows import SourceRow

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def standing(number: int, position: Position, band: int) -> SourceRow:
    return SourceRow(
        region="XX-1",
        id=f"{number:036d}",
        contributor="0" * 16,
        revision=1,
        sequence=number,
        received_at=NOW,
        retracted=False,
        state="withheld" if number % 7 == 0 else "counted",
        public="{",
        latitude=position.latitude,
        longitude=position.longitude,
        band=band,
    )


def boxes(random: Random) -> list[Box]:
    """Boxes across the equator, across rows of the grid, at the 180th meridian and at a pole."""
    places = [(0.0, 0.0), (-12.5, 30.0), (45.5, 180.0), (45.6, -179.99), (-90.0, 10.0), (71.2, 24.7)]
    spread = [Position(lat + random.uniform(0, 0.1), lon) for lat, lon in places]
    return [box_around(position, random.choice((1.0, 30.0))) for position in spread]


def holds(box: Box, row: SourceRow) -> bool:
    """Whether a source is inside a box, which may cross the 180th meridian."""
    west, east = row.longitude >= box.west, row.longitude <= box.east
    sideways = west and east if box.west <= box.east else west or east
    return row.state == "counted" and sideways and box.south <= row.latitude <= box.north


async def test_boxes_find_the_sources_inside_them(store: Store) -> None:
    random = Random(11)
    asked = boxes(random)
    rows = []
    for number in range(400):
        box = random.choice(asked)
        east = box.east if box.east >= box.west else box.east + 360.0
        high, wide = (box.north - box.south) / 4, (east - box.west) / 4
        latitude = min(random.uniform(box.south - high, box.north + high), 90.0)
        longitude = (random.uniform(box.west - wide, east + wide) + 180.0) % 360.0 - 180.0
        rows.append(standing(number, Position(latitude, longitude), int(latitude * 2 // 1)))
    async with store.write() as connection:
        await sources.put(connection, rows, ())
    async with store.read() as connection:
        together = {row.id for row in await box_join.within_any(connection, asked)}
        apart = [{row.id for row in await box_join.within_any(connection, [box])} for box in asked]
        assert await box_join.within_any(connection, []) == []
    assert all(apart)
    assert apart == [{row.id for row in rows if holds(box, row)} for box in asked]
    assert together == set().union(*apart)
    assert len(together) < 350
