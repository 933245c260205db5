"""Headers that every answer carries: a browser shall run what we serve, and nothing else."""

from litestar.datastructures import MutableScopeHeaders
from litestar.types import Message, Scope

CONTENT = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' blob: data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
SECURITY = {
    "Content-Security-Policy": CONTENT,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


async def add_headers(message: Message, _scope: Scope) -> None:
    """Add the headers to the start of a response."""
    if message["type"] == "http.response.start":
        headers = MutableScopeHeaders.from_message(message)
        for name, value in SECURITY.items():
            headers[name] = value
