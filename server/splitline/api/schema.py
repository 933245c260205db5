"""GET /api/schema: the OpenAPI description, generated from the handlers at each request.

Most of it comes from a handler's path, name, docstring and return type; the rest from the options it was declared with.
query: the Struct of its query. body, content: media type -> Struct or schema, of the request, and of an answer that is
not JSON. answers: status -> meaning, where there are several. Litestar's own generator is not used: it loses which
fields are allowed and the type of a list's items.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

from litestar import Litestar, Response
from litestar.handlers import HTTPRouteHandler
from litestar.routes import HTTPRoute
from msgspec import Struct, json

from splitline import __version__, records
from splitline.api import caching
from splitline.api.photos import DIGEST
from splitline.api.problems import MEDIA_TYPE, Document
from splitline.api.push import Batch
from splitline.api.services import HttpRequest, reads
from splitline.api.shapes import REFERENCE, Json, NoQuery

Content = Mapping[str, type[Struct] | Json]

# Links from an answer: an operation, where in its answer, the next operation, and its parameter.
LINKS = (
    ("push", "answers/0/id", "one_source", "source_id"),
    ("pull", "cursor", "pull", "cursor"),
    ("rank_sources", "sources/0/id", "one_source", "source_id"),
    ("list_regions", "regions/0/code", "one_region", "code"),
    ("list_regions", "regions/0/code", "region_outline", "code"),
    ("list_regions", "regions/0/code", "readings_csv", "code"),
    ("list_regions", "regions/0/code", "sources_geojson", "code"),
)


def description(app: Litestar) -> Json:
    """Return the OpenAPI 3.1 document of the API."""
    paths: defaultdict[str, Json] = defaultdict(dict)
    structs: list[type[Struct]] = [Batch, records.Source, records.Test, records.Retraction, Document]
    for path, method, handler in _doors(app):
        paths[path][method] = _operation(path, handler)
        structs += [shape for shape in _answer(handler).values() if isinstance(shape, type)]
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Splitline",
            "version": __version__,
            "description": "Readings of ethanol fuel: sent, pulled and ranked. Contents in % (V/V), volumes in mL.",
        },
        "paths": paths,
        "components": {
            "schemas": json.schema_components(structs, ref_template=REFERENCE)[1],
            "securitySchemes": {
                "secret": {"type": "http", "scheme": "bearer", "description": "64 lower-case hex digits"}
            },
        },
    }


def _doors(app: Litestar) -> Iterator[tuple[str, str, HTTPRouteHandler]]:
    """Path, method and handler of every operation to describe; HEAD is left out because it follows from GET."""
    for route in app.routes:
        for handler in route.route_handlers if isinstance(route, HTTPRoute) else ():
            if handler.resolve_include_in_schema():
                yield from ((route.path_format, name.lower(), handler) for name in handler.http_methods - {"HEAD"})


def _operation(path: str, handler: HTTPRouteHandler) -> Json:
    name, options = handler.handler_name, handler.opt
    summary = str(handler.fn.__doc__).partition("\n")[0].rstrip(".")
    links = {
        target: {"operationId": target, "parameters": {parameter: f"$response.body#/{pointer}"}}
        for of, pointer, target, parameter in LINKS
        if of == name
    }
    answer = {"content": _content(_answer(handler)), **({"links": links} if links else {})}
    meanings = options.get("answers") or {handler.status_code: summary}
    problem = {"description": "a problem document (RFC 9457)", "content": _content({MEDIA_TYPE: Document})}
    operation: Json = {
        "operationId": name,
        "summary": summary,
        "parameters": [*map(_in_path, re.findall(r"{(\w+)}", path)), *_in_query(options.get("query", NoQuery))],
        "responses": {
            **{str(status): {"description": meaning, **answer} for status, meaning in meanings.items()},
            "default": problem,
        },
    }
    if "body" in options:
        operation["requestBody"] = {"required": True, "content": _content(options["body"])}
    if handler.security:
        operation["security"] = handler.security
    return operation


def _answer(handler: HTTPRouteHandler) -> Content:
    """The answer's content: by default JSON of the Struct that the handler returns."""
    answer = handler.parsed_fn_signature.return_type
    return handler.opt.get("content") or {"application/json": answer.inner_types[0].annotation}


def _content(content: Content) -> Json:
    return {
        media_type: {"schema": {"$ref": REFERENCE.format(name=shape.__name__)} if isinstance(shape, type) else shape}
        for media_type, shape in content.items()
    }


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


@reads("/api/schema", include_in_schema=False)
async def schema(request: HttpRequest) -> Response[Any]:
    """Return the description of the API."""
    tag = f'W/"{__version__}"'
    if caching.unchanged(request, tag):
        return caching.not_modified(tag)
    return caching.tagged(json.encode(description(request.app)), tag, "application/vnd.oai.openapi+json")
