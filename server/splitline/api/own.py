"""GET /api/v1/own: a contributor's own records as they came, for another phone of the same person; nobody else's.

The public feed has pseudonyms and days only, so a phone that finds its own records there fetches them in full here.
"""

from typing import Any

from litestar import Response
from msgspec import json

from splitline.api import reading
from splitline.api.services import SECRET, HttpRequest, InjectedServices, reads
from splitline.api.shapes import OwnQuery, OwnRecords
from splitline.feed import own_change
from splitline.store import contributors, sources, tests
from splitline.store.rows import Row


@reads("/api/v1/own", security=SECRET, query=OwnQuery)
async def own_records(request: HttpRequest, services: InjectedServices) -> Response[OwnRecords]:
    """Return those of the given records that belong to the holder of the secret and are not retracted."""
    identity = reading.identity(request)
    ids = set(reading.query(request, OwnQuery).ids.split(","))
    found: dict[str, Row] = {}
    async with services.store.read() as connection:
        if await contributors.is_theirs(connection, identity):
            found.update(await sources.by_ids(connection, ids))
            found.update(await tests.by_ids(connection, ids))
    mine = [own_change(row) for row in found.values() if row.contributor == identity.id and row.record]
    return Response[Any](
        json.encode(OwnRecords(changes=tuple(mine))),
        media_type="application/json",
        headers={"Cache-Control": "no-store"},
    )
