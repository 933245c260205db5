"""Cacheable answers: each has an ETag, and an unchanged one is sent without a body."""

from typing import Any

from litestar import Response

from splitline import __version__
from splitline.api.services import HttpRequest
from splitline.store.sequence import Head


def tag_of_figures(head: Head) -> str:
    """Return the tag of an answer with figures, which also changes when these are recomputed soon after the records."""
    return f'W/"{__version__}-{head.epoch}-{head.value}-{head.figures}"'


def tag_of(head: Head) -> str:
    """Return the tag of an answer made from records alone: it changes with any of them, and with the program."""
    return f'W/"{__version__}-{head.epoch}-{head.value}"'


def asks(request: HttpRequest) -> bool:
    """Whether the device sent the tag of a version, to ask if that is still current."""
    return "if-none-match" in request.headers


def unchanged(request: HttpRequest, tag: str) -> bool:
    """Whether the device already has this version (weak comparison, RFC 9110)."""
    known = [part.strip().removeprefix("W/") for part in request.headers.get("if-none-match", "").split(",")]
    return tag.removeprefix("W/") in known or known == ["*"]


def not_modified(tag: str, control: str = "no-cache") -> Response[Any]:
    """Return 304 for a device that has the current version."""
    return Response(None, status_code=304, headers={"ETag": tag, "Cache-Control": control})


def tagged(body: bytes, tag: str, media_type: str = "application/json", control: str = "no-cache") -> Response[Any]:
    """Return an answer with its tag; by default a device revalidates it each time."""
    return Response(body, media_type=media_type, headers={"ETag": tag, "Cache-Control": control})


def packed(body: bytes, tag: str, encoding: str | None) -> Response[Any]:
    """Return an answer with its tag; the body may already be compressed."""
    answer = tagged(body, tag)
    answer.headers["Vary"] = "Accept-Encoding"
    if encoding:
        answer.headers["Content-Encoding"] = encoding
    return answer
