"""Clients over their rate limit get 429 and are told how long to wait."""

from collections.abc import Awaitable, Callable

from splitline.api.problems import RequestRefused
from splitline.api.rate_limit import RateLimit
from splitline.api.services import HttpRequest
from splitline.errors import Problem
from splitline.identity import Identity


def by_address(limit: RateLimit) -> Callable[[HttpRequest], Awaitable[None]]:
    """Return a check that runs before every request. It raises `RequestRefused` 429."""

    async def admit(request: HttpRequest) -> None:
        _wait(limit.ask(request.client.host if request.client else ""), "address")

    return admit


def by_secret(limit: RateLimit, identity: Identity, records: int) -> None:
    """Count a contributor's records against their limit. Raises `RequestRefused` 429."""
    _wait(limit.send(identity.id, records), "secret")


def _wait(seconds: int, whose: str) -> None:
    if seconds > 0:
        raise RequestRefused(429, [Problem("too_many", whose, "", str(seconds))], {"Retry-After": str(seconds)})
