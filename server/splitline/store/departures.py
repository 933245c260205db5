"""Records that moved to another region, so that phones following the old region pull the move."""

from collections.abc import Iterable

from sqlalchemy import select

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, fetch
from splitline.store.schema import departures

OF = select(departures).where(among(departures.c.id, "ids"))


async def note(connection: Connection, moves: Iterable[tuple[str, str]]) -> None:
    """Add ids and former regions of records that moved."""
    left = dict.fromkeys(moves)
    known = {tuple(row) for row in await fetch(connection, OF, ids=[record for record, _ in left])}
    await add(connection, departures, [move for move in left if move not in known])
