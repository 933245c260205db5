"""What is for whoever looks after the server, and from where it can be asked.

With an address of its own (`--operations`) it is answered there, without a limit of rate, and nothing else is. Without
one `/metrics` is given only to programs on this machine, and never through a proxy.
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
# What proxies put into a request.
PASSED_ON = {"forwarded", "via", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto", "x-real-ip"}


def admitting(chosen: Settings, limit: RateLimit) -> Callable[[HttpRequest], Awaitable[None]]:
    """Return what is asked before every request. It raises `RequestRefused`: 404 at the wrong address, 429."""
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
    """Whether a program on this machine asks, and for nobody else."""
    try:
        address = ip_address(request.client.host if request.client else "")
    except ValueError:
        return False
    return address.is_loopback and PASSED_ON.isdisjoint(request.headers.keys())
