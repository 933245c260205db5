"""Headers that every answer carries: a browser shall run what we serve, and nothing else."""

from litestar.config.cors import CORSConfig
from litestar.datastructures import MutableScopeHeaders
from litestar.types import Message, Scope

CONTENT = "; ".join(
    (
        "default-src 'self'",
        # The settings can name another server to exchange with.
        "connect-src 'self' https:",
        "img-src 'self' blob: data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
# Any page may read what is public here and send with a secret that it holds; there are no cookies to misuse.
CROSS_ORIGIN = CORSConfig(
    allow_origins=["*"],
    allow_methods=["GET", "POST", "PUT"],
    allow_headers=["Authorization", "Content-Type"],
    expose_headers=["ETag", "Retry-After"],
    max_age=86400,
)
SECURITY = {
    "Content-Security-Policy": CONTENT,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


TRANSPORT_SECURITY = "max-age=31536000"


async def add_headers(message: Message, _scope: Scope) -> None:
    """Add the headers to the start of a response."""
    if message["type"] == "http.response.start":
        headers = MutableScopeHeaders.from_message(message)
        for name, value in SECURITY.items():
            headers[name] = value


async def add_transport_security(message: Message, _scope: Scope) -> None:
    """Ask browsers to come back by https only (RFC 6797), where this server does https itself."""
    if message["type"] == "http.response.start":
        MutableScopeHeaders.from_message(message)["Strict-Transport-Security"] = TRANSPORT_SECURITY
