"""GET /healthz, /livez and /readyz: whether the server can read, is there at all, and can write."""

import logging
from typing import Any

from litestar import Response
from msgspec import json

from splitline import __version__
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import Health, Probed
from splitline.errors import Problem
from splitline.store import sequence
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable

FRESH = {"Cache-Control": "no-store"}
RETRY_SECONDS = "5"

log = logging.getLogger(__name__)


@reads("/healthz")
async def health(request: HttpRequest, services: Rooms) -> Response[Health]:
    """Say whether the server can do its work, and whether its records are invented."""
    async with services.store.read() as connection:
        head = await sequence.head(connection)
    body = json.encode(Health(status="ok", version=__version__, invented=head.invented))
    return Response[Any](body, media_type="application/json", headers=FRESH)


@reads("/livez")
async def live(request: HttpRequest) -> Response[Probed]:
    """Say that the server answers, whatever its database does."""
    return _ok()


@reads("/readyz")
async def ready(request: HttpRequest, services: Rooms) -> Response[Probed]:
    """Say whether the database takes a write, 503 if not; it is tried every 30 seconds at most."""
    try:
        await services.readiness.check()
    except (StoreUnavailable, StoreFull, StoreDamaged) as fault:
        log.warning("not ready: %s", fault)
        code = "storage_full" if isinstance(fault, StoreFull) else "unavailable"
        raise RequestRefused(503, [Problem(code)], {"Retry-After": RETRY_SECONDS}) from fault
    return _ok()


def _ok() -> Response[Any]:
    return Response(json.encode(Probed(status="ok")), media_type="application/json", headers=FRESH)
