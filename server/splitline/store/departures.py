"""Records that moved to another region: who follows the old one is told as well."""

from collections.abc import Iterable

from sqlalchemy import insert, select
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store.rows import portions
from splitline.store.schema import departures


async def note(connection: AsyncConnection, moves: Iterable[tuple[str, str]]) -> None:
    """Note the region and id of records that left a region."""
    for portion in portions(dict.fromkeys(moves), width=2):
        ids = [record for _, record in portion]
        rows = await connection.execute(select(departures).where(departures.c.id.in_(ids)))
        known = {(row.region, row.id) for row in rows}
        fresh = [{"region": region, "id": record} for region, record in portion if (region, record) not in known]
        if fresh:
            await connection.execute(insert(departures), fresh)
