"""Paths for the operator, and from where they can be reached.

With an address of its own (`--operations`) they are answered there, without a rate limit, and that address answers
nothing else. Without one, `/metrics` is served only to programs on this machine, and never through a proxy.
"""

from collections.abc import Awaitable, Callable
from ipaddress import ip_address

from splitline.api import throttle
from splitline.api.problems import RequestRefused
from splitline.api.rate_limit import RateLimit
from splitline.api.services import HttpRequest
from splitline.config import Settings
from splitline.errors import Problem

PRIVATE = {"/metrics"}
PATHS = {"/healthz", "/livez", "/readyz", *PRIVATE}
# Headers that proxies add to a request.
PASSED_ON = {"forwarded", "via", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto", "x-real-ip"}


def admitting(chosen: Settings, limit: RateLimit) -> Callable[[HttpRequest], Awaitable[None]]:
    """Return a check that runs before every request. It raises `RequestRefused`: 404 at the wrong address, 429."""
    admit = throttle.by_address(limit)

    async def admitted(request: HttpRequest) -> None:
        path = request.scope.get("path_template")
        server = request.scope["server"]
        if server is not None and chosen.is_operations(*server):
            if path not in PATHS:
                raise RequestRefused(404, [Problem("not_found")])
            return
        if path in PRIVATE and (chosen.operations or not _is_here(request)):
            raise RequestRefused(404, [Problem("not_found")])
        await admit(request)

    return admitted


def _is_here(request: HttpRequest) -> bool:
    """Whether the request comes from a program on this machine, and not through a proxy."""
    try:
        address = ip_address(request.client.host if request.client else "")
    except ValueError:
        return False
    return address.is_loopback and PASSED_ON.isdisjoint(request.headers.keys())
