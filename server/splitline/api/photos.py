"""PUT and GET /api/v1/photos/{sha256}: pictures, named by the digest of the bytes sent."""

import re
from typing import Any

from litestar import Response, put, route
from litestar.params import FromPath
from msgspec import json

from splitline.api import caching, reading, throttle
from splitline.api.problems import RequestRefused
from splitline.api.rate_limit import PICTURE
from splitline.api.services import SECRET, HttpRequest, InjectedServices, reads
from splitline.api.shapes import FILE, NoQuery, PhotoKept, PhotoQuery
from splitline.errors import Problem
from splitline.photos.decoding import FORMATS
from splitline.photos.store import MOST_BYTES

DIGEST = re.compile("^[0-9a-f]{64}$")
# A picture never changes under its name, but it can be withdrawn.
KEEP = "public, max-age=3600"


PATH = "/api/v1/photos/{digest:str}"
IMAGE = dict.fromkeys(FORMATS.values(), FILE)


@route(PATH, http_method="OPTIONS", status_code=204, include_in_schema=False)
async def photo_methods() -> Response[None]:
    """Answer OPTIONS: the framework's own answer lists only the first of several handlers."""
    return Response(None, headers={"Allow": "GET, HEAD, OPTIONS, PUT"})


@put(
    PATH,
    request_max_body_size=MOST_BYTES,
    security=SECRET,
    body=IMAGE,
    answers={201: "the picture is stored", 200: "the picture was already here"},
)
async def keep_photo(request: HttpRequest, services: InjectedServices, digest: FromPath[str]) -> Response[PhotoKept]:
    """Store a picture under the SHA-256 of its bytes."""
    identity = reading.identity(request)
    reading.query(request, NoQuery)
    _check(digest, 400, "pattern")
    reading.media_type(request, *FORMATS.values())
    throttle.by_secret(services.rate_limit, identity, PICTURE)
    body = await reading.body(request, MOST_BYTES)
    kept = await services.photos.keep(digest, body, identity, services.now())
    answer = json.encode(PhotoKept(sha256=kept.digest, bytes=kept.bytes))
    return Response[Any](answer, media_type="application/json", status_code=200 if kept.known else 201)


@reads(PATH, query=PhotoQuery, content=IMAGE)
async def show_photo(request: HttpRequest, services: InjectedServices, digest: FromPath[str]) -> Response[Any]:
    """Return a picture without metadata, or a smaller copy of it."""
    query = reading.query(request, PhotoQuery)
    _check(digest, 404, "not_found")
    picture = await services.photos.find(digest, query.width)
    if picture is None:
        raise RequestRefused(404, [Problem("not_found", "sha256", digest)])
    tag = f'"{digest}-{len(picture.body)}"'
    if caching.unchanged(request, tag):
        return caching.not_modified(tag, KEEP)
    return caching.tagged(picture.body, tag, picture.media_type, KEEP)


def _check(digest: str, status: int, code: str) -> None:
    if not DIGEST.fullmatch(digest):
        raise RequestRefused(status, [Problem(code, "sha256", digest[:70], DIGEST.pattern)])
