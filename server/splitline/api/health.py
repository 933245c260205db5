"""GET /healthz: whether the server can do its work."""

from typing import Any

from litestar import Response
from msgspec import json

from splitline import __version__
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import Health
from splitline.store import sequence


@reads("/healthz")
async def health(request: HttpRequest, services: Rooms) -> Response[Health]:
    """Say whether the server can do its work, and whether its records are invented."""
    async with services.store.read() as connection:
        head = await sequence.head(connection)
    body = json.encode(Health(status="ok", version=__version__, invented=head.invented))
    return Response[Any](body, media_type="application/json", headers={"Cache-Control": "no-store"})
