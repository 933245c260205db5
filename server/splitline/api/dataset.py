"""GET /api/v1/regions/{code}/dataset.csv and .geojson: downloads for everyone, under CC0-1.0."""

from collections.abc import AsyncIterator, Callable
from typing import Any

from litestar import Response
from litestar.params import FromPath
from litestar.response import Stream

from splitline.api import caching, reading
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, InjectedServices, Services, reads
from splitline.api.shapes import FILE, Json, NoQuery
from splitline.archive.dataset import CSV, GEOJSON, Export, csv_parts, geojson_parts
from splitline.errors import Problem
from splitline.store import sequence

Parts = Callable[[Export], AsyncIterator[bytes]]
COLLECTION: Json = {
    "type": "object",
    "description": "a FeatureCollection of RFC 7946",
    "properties": {"type": {"const": "FeatureCollection"}, "features": {"type": "array", "items": {"type": "object"}}},
    "required": ["type", "features"],
}


@reads("/api/v1/regions/{code:str}/dataset.csv", content={"text/csv": FILE})
async def readings_csv(request: HttpRequest, services: InjectedServices, code: FromPath[str]) -> Response[Any]:
    """Return the counted readings of a region, under CC0-1.0."""
    return await _given_out(request, services, code, csv_parts, CSV)


@reads("/api/v1/regions/{code:str}/dataset.geojson", content={GEOJSON: COLLECTION})
async def sources_geojson(request: HttpRequest, services: InjectedServices, code: FromPath[str]) -> Response[Any]:
    """Return the sources of a region with their figures, under CC0-1.0."""
    return await _given_out(request, services, code, geojson_parts, GEOJSON)


async def _given_out(
    request: HttpRequest, services: Services, code: str, parts: Parts, media_type: str
) -> Response[Any]:
    """The tag is made before the data is read, so a change in between shows up at the next request."""
    reading.query(request, NoQuery)
    if services.regions.by_code(code) is None:
        raise RequestRefused(404, [Problem("not_found", "code", code[:60])])
    async with services.store.read() as connection:
        tag = caching.tag_of_figures(await sequence.head(connection))
    if caching.unchanged(request, tag):
        return caching.not_modified(tag)
    headers = {"ETag": tag, "Cache-Control": "no-cache"}
    # Sent without a length, which is unknown until the end.
    body = parts(Export(services.store, code)) if request.method == "GET" else _nothing()
    return Stream(body, media_type=media_type, headers=headers)


async def _nothing() -> AsyncIterator[bytes]:
    yield b""
