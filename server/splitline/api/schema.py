"""GET /api/schema: the OpenAPI description, generated from the structs that are read and written."""

from typing import Any

from litestar import Response
from msgspec import Struct, json

from splitline import __version__, records
from splitline.api import caching, shapes
from splitline.api.photos import DIGEST
from splitline.api.problems import MEDIA_TYPE, Document
from splitline.api.push import MOST_RECORDS
from splitline.api.services import HttpRequest, reads
from splitline.dataset import GEOJSON
from splitline.photos import FORMATS

Json = dict[str, Any]

REFERENCE = "#/components/schemas/{name}"
STRUCTS: list[type[Struct]] = [
    records.Source,
    records.Test,
    records.Retraction,
    shapes.Pushed,
    shapes.Pulled,
    shapes.RankedList,
    shapes.SourcePage,
    shapes.RegionEntries,
    shapes.RegionPage,
    shapes.OwnTubes,
    shapes.PhotoKept,
    shapes.Health,
    Document,
]

FILE: Json = {"type": "string", "format": "binary"}
COLLECTION: Json = {
    "type": "object",
    "description": "a FeatureCollection of RFC 7946",
    "properties": {"type": {"const": "FeatureCollection"}, "features": {"type": "array", "items": {"type": "object"}}},
    "required": ["type", "features"],
}
# What an answer leads to: an operation, where in its answer, the next operation, and its parameter.
LINKS = (
    ("push", "answers/0/id", "one_source", "source_id"),
    ("pull", "cursor", "pull", "cursor"),
    ("rank_sources", "sources/0/id", "one_source", "source_id"),
    ("list_regions", "regions/0/code", "one_region", "code"),
    ("list_regions", "regions/0/code", "readings_csv", "code"),
    ("list_regions", "regions/0/code", "sources_geojson", "code"),
)


def description() -> Json:
    """Return the OpenAPI 3.1 document of the API."""
    _, components = json.schema_components(STRUCTS, ref_template=REFERENCE)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Splitline",
            "version": __version__,
            "description": "Readings of ethanol fuel: sent, pulled and ranked. Contents in % (V/V), volumes in mL.",
        },
        "paths": _paths(),
        "components": {
            "schemas": {**components, "Batch": _batch()},
            "securitySchemes": {
                "secret": {"type": "http", "scheme": "bearer", "description": "64 lower-case hex digits"}
            },
        },
    }


def _batch() -> Json:
    kinds = [{"$ref": REFERENCE.format(name=name)} for name in ("Source", "Test", "Retraction")]
    return {
        "type": "object",
        "properties": {
            "records": {"type": "array", "maxItems": MOST_RECORDS, "items": {"anyOf": kinds}},
            "sent_at": {"type": ["string", "null"], "format": "date-time", "description": "the device's clock"},
        },
        "required": ["records"],
        "additionalProperties": False,
    }


def _paths() -> Json:
    image = {media_type: {"schema": FILE} for media_type in FORMATS.values()}
    kept = _answer("the picture is kept", shapes.PhotoKept)
    return {
        "/api/v1/push": {
            "post": _operation(
                "push",
                "Send records; one answer for each, in order",
                {"200": _answer("what became of each record", shapes.Pushed)},
                body={"application/json": {"schema": {"$ref": REFERENCE.format(name="Batch")}}},
            )
        },
        "/api/v1/pull": _reads("pull", "Changes since a cursor", shapes.Pulled, shapes.PullQuery),
        "/api/v1/sources": _reads("rank_sources", "Ranked sources", shapes.RankedList, shapes.RankQuery),
        "/api/v1/sources/{source_id}": _reads(
            "one_source", "One source and its tests", shapes.SourcePage, shapes.SourceQuery, "source_id"
        ),
        "/api/v1/regions": _reads("list_regions", "Regions with sources", shapes.RegionEntries, shapes.NoQuery),
        "/api/v1/regions/{code}": _reads("one_region", "A region by month", shapes.RegionPage, shapes.NoQuery, "code"),
        "/api/v1/regions/{code}/dataset.csv": _gives(
            "readings_csv", "The counted readings of a region", "text/csv", FILE
        ),
        "/api/v1/regions/{code}/dataset.geojson": _gives(
            "sources_geojson", "The sources of a region with their figures", GEOJSON, COLLECTION
        ),
        "/api/v1/tubes": {
            "get": _operation(
                "own_tubes",
                "How the tubes of whoever asks read against those of others",
                {"200": _answer("the tubes of which something is known", shapes.OwnTubes)},
                secret=True,
            )
        },
        "/api/v1/photos/{digest}": {
            "put": _operation(
                "keep_photo",
                "Send a picture under the SHA-256 of its bytes",
                {"201": kept, "200": {**kept, "description": "the picture was here already"}},
                parameters=[_in_path("digest")],
                body=image,
            ),
            "get": _operation(
                "show_photo",
                "A picture, or a smaller copy",
                {"200": {"description": "the picture, without metadata", "content": image}},
                parameters=[_in_path("digest"), *_in_query(shapes.PhotoQuery)],
            ),
        },
        "/metrics": {
            "get": _operation(
                "metrics",
                "Counts in the text format of Prometheus",
                {"200": {"description": "counts", "content": {"text/plain": {"schema": {"type": "string"}}}}},
            )
        },
        "/healthz": _reads("health", "Whether the server can do its work", shapes.Health, shapes.NoQuery),
    }


def _reads(name: str, summary: str, shape: type[Struct], query: type[Struct], path: str | None = None) -> Json:
    parameters = [*([_in_path(path)] if path else []), *_in_query(query)]
    return {"get": _operation(name, summary, {"200": _answer(summary, shape)}, parameters=parameters)}


def _gives(name: str, summary: str, media_type: str, shape: Json) -> Json:
    """A file of a region."""
    content = {media_type: {"schema": shape}}
    answer = {"200": {"description": f"{summary}, under CC0-1.0", "content": content}}
    return {"get": _operation(name, summary, answer, parameters=[_in_path("code")])}


def _operation(
    name: str,
    summary: str,
    answers: Json,
    parameters: list[Json] | None = None,
    body: Json | None = None,
    secret: bool = False,
) -> Json:
    """One operation; what has a body is sent by somebody, and needs the secret."""
    links = {
        target: {"operationId": target, "parameters": {parameter: f"$response.body#/{pointer}"}}
        for of, pointer, target, parameter in LINKS
        if of == name
    }
    if links:
        answers = {status: {**answer, "links": links} for status, answer in answers.items()}
    content = {MEDIA_TYPE: {"schema": _reference(Document)}}
    problem = {"description": "a problem document (RFC 9457)", "content": content}
    operation: Json = {"operationId": name, "summary": summary, "responses": {**answers, "default": problem}}
    if parameters:
        operation["parameters"] = parameters
    if body:
        operation["requestBody"] = {"required": True, "content": body}
    if body or secret:
        operation["security"] = [{"secret": []}]
    return operation


def _in_query(query: type[Struct]) -> list[Json]:
    schema = json.schema(query)["$defs"][query.__name__]
    required = schema.get("required", [])
    return [
        {"name": name, "in": "query", "required": name in required, "schema": part}
        for name, part in schema["properties"].items()
    ]


def _in_path(name: str) -> Json:
    form = {"pattern": DIGEST.pattern} if name == "digest" else {}
    return {"name": name, "in": "path", "required": True, "schema": {"type": "string", **form}}


def _answer(summary: str, shape: type[Struct]) -> Json:
    return {"description": summary, "content": {"application/json": {"schema": _reference(shape)}}}


def _reference(shape: type[Struct]) -> Json:
    return {"$ref": REFERENCE.format(name=shape.__name__)}


@reads("/api/schema")
async def schema(request: HttpRequest) -> Response[Any]:
    """Give out the description of the API."""
    tag = f'W/"{__version__}"'
    if caching.unchanged(request, tag):
        return caching.not_modified(tag)
    return caching.tagged(json.encode(description()), tag, "application/vnd.oai.openapi+json")
