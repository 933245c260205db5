"""What the handlers use."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from litestar import Request, route
from litestar.di import NamedDependency

from splitline.api.pages import Pages
from splitline.api.rate_limit import RateLimit
from splitline.api.readiness import Readiness
from splitline.api.shapes import Tiles
from splitline.figures.schedule import Schedule
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import Regions
from splitline.store.engine import Store

HttpRequest = Request[Any, Any, Any]


# For the API description: marks a handler that needs the secret.
SECRET = [{"secret": list[str]()}]


def reads(path: str | list[str], **options: Any) -> route:
    """Declare a read-only handler: GET, and HEAD, which RFC 9110 requires wherever there is GET."""
    return route(path, http_method=["GET", "HEAD"], status_code=200, **options)


@dataclass(frozen=True, slots=True)
class Services:
    """The services that handlers share. now: the server's clock."""

    store: Store
    intake: Intake
    schedule: Schedule
    photos: Photos
    regions: Regions
    now: Callable[[], datetime]
    rate_limit: RateLimit
    pages: Pages
    readiness: Readiness
    tiles: Tiles | None


InjectedServices = NamedDependency[Services]
"""The parameter type by which a handler receives them."""
