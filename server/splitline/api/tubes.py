"""GET /api/v1/tubes: the bias of one's own tubes against those of others; nobody else's can be fetched."""

from typing import Any

from litestar import Response
from msgspec import json

from splitline.api import reading
from splitline.api.services import SECRET, HttpRequest, InjectedServices, reads
from splitline.api.shapes import NoQuery, OwnTubes, TubeFigures, shown
from splitline.store import contributors, region_priors


@reads("/api/v1/tubes", security=SECRET)
async def own_tubes(request: HttpRequest, services: InjectedServices) -> Response[OwnTubes]:
    """Return the bias of the secret holder's tubes against those of others."""
    identity = reading.identity(request)
    reading.query(request, NoQuery)
    async with services.store.read() as connection:
        known = await contributors.is_theirs(connection, identity)
        rows = await region_priors.offsets_by(connection, identity.id) if known else []
    tubes = tuple(shown(TubeFigures, row) for row in rows)
    return Response[Any](
        json.encode(OwnTubes(tubes=tubes)), media_type="application/json", headers={"Cache-Control": "no-store"}
    )
