"""Security headers on every answer: a browser may run only what we serve."""

from litestar.config.cors import CORSConfig
from litestar.datastructures import MutableScopeHeaders
from litestar.types import BeforeMessageSendHookHandler, Message, Scope

from splitline.config import Settings
from splitline.tiles import origin_of


def policy(*pictures: str) -> str:
    """Return the Content-Security-Policy. pictures: origins of map pictures besides our own."""
    return "; ".join(
        (
            "default-src 'none'",
            "script-src 'self'",
            "style-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
            # In its settings the app can name another server to sync with.
            "connect-src 'self' https:",
            " ".join(("img-src 'self' blob: data:", *pictures)),
            "base-uri 'none'",
            "form-action 'none'",
            "frame-ancestors 'none'",
        )
    )


# Any page may read the public data and send with a secret that it holds; there are no cookies to abuse.
CROSS_ORIGIN = CORSConfig(
    allow_origins=["*"],
    allow_methods=["GET", "POST", "PUT"],
    allow_headers=["Authorization", "Content-Type"],
    expose_headers=["Date", "ETag", "Retry-After", "X-Request-ID"],
    max_age=86400,
)
# The app's uses: position of the sample, camera for a code or tube, tilt of the phone, and a screen that stays on while
# the fuel settles.
ALLOWED = ", ".join(
    [f"{feature}=(self)" for feature in ("accelerometer", "camera", "geolocation", "gyroscope", "screen-wake-lock")]
    + [f"{feature}=()" for feature in ("display-capture", "microphone", "midi", "payment", "usb")]
)
# Makes browsers return by HTTPS only (RFC 6797), whether this server or a proxy does the TLS.
ONLY_TLS = "max-age=31536000"
SECURITY = {
    "Content-Security-Policy": policy(),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": ALLOWED,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Embedder-Policy": "require-corp",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def adding(chosen: Settings) -> BeforeMessageSendHookHandler:
    """Return a hook that adds the headers to the start of a response."""
    pictures = (origin_of(chosen.tiles),) if chosen.tiles else ()
    every = {**SECURITY, "Content-Security-Policy": policy(*pictures)}

    async def add_headers(message: Message, scope: Scope) -> None:
        if message["type"] == "http.response.start":
            headers = MutableScopeHeaders.from_message(message)
            for name, value in every.items():
                headers[name] = value
            if scope.get("scheme") == "https":
                headers["Strict-Transport-Security"] = ONLY_TLS

    return add_headers
