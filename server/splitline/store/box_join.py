"""The sources in many small boxes, with one statement: the boxes are one parameter, which it joins."""

from collections.abc import Iterable, Iterator
from typing import Any

from msgspec import json
from sqlalchemy import ColumnElement, Double, Integer, Select, select

from splitline.position import Box, band_of
from splitline.store.array_param import given
from splitline.store.driver import Connection, fetch_as
from splitline.store.rows import SourceRow
from splitline.store.schema import sources


def _standing_in(strips: dict[str, ColumnElement[float]]) -> Select[Any]:
    return select(sources).where(
        sources.c.band == strips["band"],
        sources.c.longitude.between(strips["west"], strips["east"]),
        sources.c.latitude.between(strips["south"], strips["north"]),
        sources.c.state == "counted",
    )


SIDES = {"band": Integer, "west": Double, "east": Double, "south": Double, "north": Double}
IN_STRIPS = {engine: _standing_in(strips) for engine, strips in given("strips", SIDES).items()}


async def within_any(connection: Connection, boxes: Iterable[Box]) -> list[SourceRow]:
    """Return the counted sources in some small boxes, each once."""
    strips = [strip for box in boxes for strip in _strips(box)]
    if not strips:
        return []
    statement = IN_STRIPS[connection.dialect.name]
    rows = await fetch_as(SourceRow, connection, statement, strips=json.encode(strips).decode())
    return list({row.id: row for row in rows}.values())


def _strips(box: Box) -> Iterator[dict[str, float]]:
    """A box cut by bands of latitude, and at 180 degrees: in each band the index is ordered by longitude."""
    pieces = [(box.west, box.east)] if box.west <= box.east else [(box.west, 180.0), (-180.0, box.east)]
    for band in range(band_of(box.south), band_of(box.north) + 1):
        for west, east in pieces:
            yield {"band": band, "west": west, "east": east, "south": box.south, "north": box.north}
