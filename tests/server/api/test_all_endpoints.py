"""What all endpoints share: headers, problem documents, HEAD, health, the app's files and the OpenAPI description."""

import asyncio
import gzip
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import asyncpg
import pytest
from litestar import Litestar
from litestar.testing import AsyncTestClient

from helpers.api_client import Client, fetch, headers, problem_of, push
from helpers.examples import identifier, reading, secret, source
from splitline.api import operations
from splitline.api import reading as api_reading
from splitline.api.app_files import read_app
from splitline.api.headers import SECURITY
from splitline.app import create
from splitline.config import Settings, settings
from splitline.regions import regions
from splitline.store import sequence
from splitline.store.engine import Store


@pytest.mark.parametrize("path", ["/", "/healthz", "/nothing", "/api/v1/pull", "/api/v1/push", "/api/schema"])
async def test_every_response_has_the_security_headers(client: Client, path: str) -> None:
    answer = await client.get(path)
    assert {name: answer.headers[name] for name in SECURITY} == SECURITY
    policy = answer.headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("path", ["/nothing", "/api/v1/nothing", "/api/v2/pull", "/assets/../../etc/passwd", "/%00"])
async def test_an_unknown_path_returns_a_problem_document(client: Client, path: str) -> None:
    assert problem_of(await client.get(path), 404)["code"] == "not_found"


@pytest.mark.parametrize(
    ("method", "path"),
    [("POST", "/api/v1/pull"), ("GET", "/api/v1/push"), ("DELETE", "/api/v1/photos/x"), ("PATCH", "/healthz")],
)
async def test_a_wrong_method_returns_a_problem_document_with_the_allowed_methods(
    client: Client, method: str, path: str
) -> None:
    answer = await client.request(method, path)
    assert problem_of(answer, 405)["code"] == "method_not_allowed"
    assert "allow" in answer.headers


@pytest.mark.parametrize("path", ["/", "/healthz", "/api/v1/pull", "/api/v1/regions", "/api/schema"])
async def test_head_answers_like_get_without_a_body(client: Client, path: str) -> None:
    head, get = await client.head(path), await client.get(path)
    assert (head.status_code, head.headers.get("etag")) == (200, get.headers.get("etag"))


async def test_health_reports_the_database(client: Client, database_url: str) -> None:
    outlines = regions().digest
    told = {"status": "ok", "version": "0.1.0", "invented": False, "outlines": outlines, "tiles": None}
    assert (await fetch(client, "/healthz")) == told
    store = Store(database_url)
    async with store.write() as connection:
        await sequence.mark_invented(connection)
    await store.close()
    assert (await fetch(client, "/healthz"))["invented"] is True


async def test_the_operators_map_tiles_are_announced_and_allowed(tmp_path: Path) -> None:
    own = {"tiles": "https://tiles.example.org:8443/{z}/{x}/{y}.png?key=1", "tiles_attribution": "Invented Maps"}
    async with AsyncTestClient(create(settings({"data": tmp_path, **own}, {}))) as client:
        told = (await client.get("/healthz")).json()["tiles"]
        page = await client.get("/")
    assert told == {"address": own["tiles"], "attribution": own["tiles_attribution"]}
    parts = page.headers["content-security-policy"].split("; ")
    assert "img-src 'self' blob: data: https://tiles.example.org:8443" in parts
    assert sum("example.org" in part for part in parts) == 1, "pictures, and nothing else"


async def test_a_lost_database_asks_the_client_to_retry(empty_url: str, tmp_path: Path, postgresql_url: str) -> None:
    if not empty_url.startswith("postgresql"):
        return
    async with AsyncTestClient(create(settings({"data": tmp_path, "database": empty_url}, {}))) as client:
        assert (await client.get("/healthz")).status_code == 200
        connection = await asyncpg.connect(postgresql_url)
        await connection.execute(f"DROP DATABASE {empty_url.rsplit('/', 1)[1]} WITH (FORCE)")
        await connection.close()
        for path in ("/healthz", "/api/v1/pull"):
            answer = await client.get(path)
            assert problem_of(answer, 503)["code"] == "unavailable"
            assert answer.headers["retry-after"]


async def test_an_internal_error_reveals_nothing(chosen: Settings, caplog: pytest.LogCaptureFixture) -> None:
    started = [datetime(2026, 4, 1, tzinfo=UTC)]

    def broken() -> datetime:
        if started:
            return started.pop()
        raise RuntimeError("the inside")

    async with AsyncTestClient(create(chosen, now=broken), raise_server_exceptions=False) as client:
        answer = await client.post("/api/v1/push", json={"records": []}, headers=headers())
    assert problem_of(answer, 500)["code"] == "internal"
    assert "inside" not in answer.text
    assert "the inside" in caplog.text


async def test_no_secret_is_stored_or_returned(client: Client, chosen: Settings, tmp_path: Path) -> None:
    await push(client, source(1), reading(1, at=1))
    assert secret(1) not in (await client.get("/api/v1/pull")).text
    if chosen.database.startswith("sqlite"):
        names = ("splitline.sqlite3", "splitline.sqlite3-wal")
        kept = b"".join((tmp_path / name).read_bytes() for name in names)
        assert identifier(1).encode() in kept
        assert secret(1).encode() not in kept
        assert bytes.fromhex(secret(1)) not in kept


def test_app_files_are_cached_as_long_as_they_are_valid(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    for name in ("index.html", "worker.js", "assets/index-abc123.js", "app.webmanifest"):
        (tmp_path / name).write_text(name)
    files = read_app(tmp_path)
    assert files[""].body == files["index.html"].body == b"index.html"
    assert {name: (file.media_type, file.control) for name, file in files.items() if name} == {
        "index.html": ("text/html", "no-cache"),
        "worker.js": ("text/javascript", "no-cache"),
        "app.webmanifest": ("application/manifest+json", "no-cache"),
        "assets/index-abc123.js": ("text/javascript", "public, max-age=31536000, immutable"),
    }


def test_without_a_built_app_the_start_page_says_so() -> None:
    assert b"not built" in read_app(None)[""].body


async def test_openapi_lists_exactly_the_endpoints_that_exist(client: Client, chosen: Settings) -> None:
    app: Litestar = create(chosen)
    doors = {
        (re.sub(r":\w+}", "}", str(route.path_format)).replace("//", "/"), method)
        for route in app.routes
        for method in getattr(route, "methods", [])
        if str(route.path).startswith(("/api/v1", *operations.PATHS)) and method not in ("HEAD", "OPTIONS")
    }
    described = await fetch(client, "/api/schema")
    assert {(path, method.upper()) for path, methods in described["paths"].items() for method in methods} == doors
    assert set(described["paths"]) == {
        *("/api/v1/push", "/api/v1/pull", "/api/v1/photos/{digest}", "/api/v1/tubes", *operations.PATHS),
        *("/api/v1/own", "/api/v1/sources", "/api/v1/sources/{source_id}", "/api/v1/regions", "/api/v1/regions/{code}"),
        "/api/v1/regions/{code}/outline",
        *("/api/v1/regions/{code}/dataset.csv", "/api/v1/regions/{code}/dataset.geojson", "/api/v1/contributors"),
    }


async def test_openapi_describes_each_request_and_response(client: Client) -> None:
    described = (await fetch(client, "/api/schema"))["paths"]
    pull, push = described["/api/v1/pull"]["get"], described["/api/v1/push"]["post"]
    photo = described["/api/v1/photos/{digest}"]
    assert [(one["name"], one["in"], one["required"]) for one in pull["parameters"]] == [
        *(("cursor", "query", False), ("region", "query", False), ("limit", "query", False))
    ]
    assert pull["parameters"][2]["schema"] == {"type": "integer", "minimum": 1, "maximum": 500, "default": 500}
    assert pull["responses"]["200"]["content"]["application/json"]["schema"]["$ref"].endswith("/Pulled")
    assert "application/problem+json" in pull["responses"]["default"]["content"]
    assert photo["put"]["parameters"] == [
        {"name": "digest", "in": "path", "required": True, "schema": {"type": "string", "pattern": "^[0-9a-f]{64}$"}}
    ]
    assert set(photo["put"]["responses"]) == {"201", "200", "default"}
    assert set(photo["put"]["requestBody"]["content"]) == set(photo["get"]["responses"]["200"]["content"])
    with_secret = {one["operationId"] for each in described.values() for one in each.values() if "security" in one}
    assert with_secret == {"push", "keep_photo", "own_tubes", "own_records"}
    assert push["responses"]["200"]["links"]["one_source"]["parameters"] == {
        "source_id": "$response.body#/answers/0/id"
    }


async def test_openapi_has_the_exact_fields_of_a_record(client: Client) -> None:
    described = await fetch(client, "/api/schema")
    schemas = described["components"]["schemas"]
    body = described["paths"]["/api/v1/push"]["post"]["requestBody"]["content"]["application/json"]["schema"]
    assert body == {"$ref": "#/components/schemas/Batch"}
    assert schemas["Batch"]["properties"]["records"]["items"]["anyOf"][1] == {"$ref": "#/components/schemas/Test"}
    assert set(schemas["Test"]["properties"]) == {
        *reading(1, at=1),
        *("note", "photos", "water_temperature", "water_temperature_measured"),
        *("fuel_temperature", "fuel_temperature_measured"),
    }
    assert schemas["Test"]["additionalProperties"] is False
    referred = set(re.findall(r"#/components/schemas/(\w+)", (await client.get("/api/schema")).text))
    assert referred <= set(schemas)


@pytest.mark.parametrize(("path", "method"), [("/api/v1/push", "POST"), ("/api/v1/pull", "GET"), ("/healthz", "GET")])
async def test_an_app_on_another_origin_may_push_and_pull(client: Client, path: str, method: str) -> None:
    asked = {
        "Origin": "https://elsewhere.example",
        "Access-Control-Request-Method": method,
        "Access-Control-Request-Headers": "authorization, content-type",
    }
    allowed = await client.options(path, headers=asked)
    assert allowed.status_code in (200, 204)
    assert allowed.headers["access-control-allow-origin"] == "*"
    assert method in allowed.headers["access-control-allow-methods"]
    assert "authorization" in allowed.headers["access-control-allow-headers"].lower()
    assert "access-control-allow-credentials" not in allowed.headers


async def test_an_app_on_another_origin_can_read_a_problem(client: Client) -> None:
    answer = await client.post("/api/v1/push", content="{", headers={"Origin": "https://elsewhere.example"})
    assert answer.status_code in (400, 401)
    assert answer.headers["access-control-allow-origin"] == "*"


async def test_other_origins_are_isolated_and_unused_features_are_off(client: Client) -> None:
    sent = (await client.get("/")).headers
    assert "default-src 'none'" in sent["content-security-policy"]
    assert (sent["cross-origin-opener-policy"], sent["cross-origin-embedder-policy"]) == ("same-origin", "require-corp")
    assert sent["cross-origin-resource-policy"] == "same-origin"
    assert "camera=(self), geolocation=(self)" in sent["permissions-policy"]
    assert "microphone=()" in sent["permissions-policy"]
    assert "strict-transport-security" not in sent, "only a response over TLS may set HSTS"


async def test_over_tls_the_response_sets_hsts(chosen: Settings) -> None:
    async with AsyncTestClient(create(chosen), base_url="https://fuel.example") as client:
        assert "max-age=31536000" in (await client.get("/")).headers["strict-transport-security"]


@pytest.mark.parametrize("coding", ["gzip", "zstd", "br", "gzip, gzip", "x"])
async def test_a_compressed_request_body_is_refused(client: Client, coding: str) -> None:
    bomb = gzip.compress(b" " * 50_000_000)
    assert len(bomb) < 100_000
    answer = await client.post("/api/v1/push", content=bomb, headers={**headers(), "Content-Encoding": coding})
    assert problem_of(answer, 415)["code"] == "content_encoding"


async def test_a_body_that_never_arrives_times_out(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(api_reading, "PATIENCE_SECONDS", 0.2)
    sent: list[Any] = []

    async def receive() -> Any:
        await asyncio.Event().wait()

    async def send(message: Any) -> None:
        sent.append(message)

    scope = {
        **{"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "scheme": "http", "root_path": ""},
        **{"method": "POST", "path": "/api/v1/push", "raw_path": b"/api/v1/push", "query_string": b""},
        **{"client": ("192.0.2.1", 1), "server": ("127.0.0.1", 80)},
        "headers": [(name.lower().encode(), value.encode()) for name, value in headers().items()],
    }
    await client.app(scope, receive, send)  # type: ignore[arg-type]
    assert sent[0]["status"] == 408
    assert b"body_slow" in sent[1]["body"]


async def test_a_misplaced_secret_is_not_echoed(client: Client) -> None:
    pasted = secret(1)
    answers = [
        await client.get(f"/{pasted}"),
        await client.get("/api/v1/pull", params={"cursor": pasted[:60]}),
        await client.get("/api/v1/pull", params={pasted: "1", "limit": pasted}),
        await client.get(f"/api/v1/regions/{pasted}"),
        await client.put(f"/api/v1/photos/{pasted}x", content=b"", headers=headers(content=pasted)),
        await client.put(f"/api/v1/photos/{pasted}", content=b"x", headers=headers(content="image/png")),
        await client.post("/api/v1/push", json={"records": [{"kind": pasted}]}, headers=headers()),
        await client.post("/api/v1/push", json={"records": [source(1, id=pasted, pump=pasted)]}, headers=headers()),
        await client.post("/api/v1/push", json={pasted: pasted}, headers=headers()),
        await client.post("/api/v1/push", json={}, headers={"Authorization": f"Bearer {pasted}x"}),
    ]
    for answer in answers:
        assert pasted[:32] not in answer.text
        assert pasted[:8] not in answer.text or "…" in answer.text


async def test_an_app_on_another_origin_can_read_the_date_header(client: Client) -> None:
    """A phone checks its clock against the Date header, which browsers hide from other origins by default."""
    answer = await client.get("/healthz", headers={"Origin": "https://elsewhere.example"})
    assert "Date" in answer.headers["access-control-expose-headers"].split(", ")
