"""GET /healthz, /livez and /readyz: whether the server can read, is running, and can write."""

import logging
from typing import Any

from litestar import Response
from msgspec import json

from splitline import __version__
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.api.shapes import Health, Probed
from splitline.errors import Problem
from splitline.store import sequence
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable

FRESH = {"Cache-Control": "no-store"}
RETRY_SECONDS = "5"

log = logging.getLogger(__name__)


@reads("/healthz")
async def health(request: HttpRequest, services: InjectedServices) -> Response[Health]:
    """Report whether the server can do its work, and whether its records are invented."""
    async with services.store.read() as connection:
        head = await sequence.head(connection)
    state = Health(
        status="ok",
        version=__version__,
        invented=head.invented,
        outlines=services.regions.digest,
        tiles=services.tiles,
    )
    return Response[Any](json.encode(state), media_type="application/json", headers=FRESH)


@reads("/livez")
async def live(request: HttpRequest) -> Response[Probed]:
    """Report that the server is running, whatever state its database is in."""
    return _ok()


@reads("/readyz")
async def ready(request: HttpRequest, services: InjectedServices) -> Response[Probed]:
    """Report whether the database accepts a write, 503 if not; tested at most every 30 seconds."""
    try:
        await services.readiness.check()
    except (StoreUnavailable, StoreFull, StoreDamaged) as fault:
        log.warning("not ready: %s", fault)
        code = "storage_full" if isinstance(fault, StoreFull) else "unavailable"
        raise RequestRefused(503, [Problem(code)], {"Retry-After": RETRY_SECONDS}) from fault
    return _ok()


def _ok() -> Response[Any]:
    return Response(json.encode(Probed(status="ok")), media_type="application/json", headers=FRESH)
