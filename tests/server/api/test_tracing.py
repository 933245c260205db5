"""OpenTelemetry traces: off by default, one span per request, without anything a person sent."""

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import httpx
import pytest
from litestar.testing import AsyncTestClient

from helpers.api_client import headers
from helpers.examples import secret
from helpers.server_process import served
from splitline.api.tracing import is_wanted, with_spans
from splitline.api.watch import watched
from splitline.app import create
from splitline.config import Settings

PARENT = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
installed = pytest.mark.skipif(find_spec("opentelemetry") is None, reason="pip install 'splitline[otel]'")


@contextmanager
def collector() -> Iterator[tuple[str, list[tuple[str, bytes]]]]:
    """An OTLP collector over HTTP: its address, and the path and body of each request so far."""
    taken: list[tuple[str, bytes]] = []

    class Taking(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            taken.append((self.path, self.rfile.read(int(self.headers["Content-Length"]))))
            self.send_response(200)
            self.end_headers()

        def log_message(self, *_: Any) -> None:
            pass

    with HTTPServer(("127.0.0.1", 0), Taking) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}", taken
        server.shutdown()


@pytest.mark.parametrize(
    ("variables", "wanted"),
    [
        ({}, False),
        ({"OTEL_SERVICE_NAME": "fuel"}, False),
        ({"OTEL_TRACES_EXPORTER": "otlp"}, True),
        ({"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:4318"}, True),
        ({"OTEL_EXPORTER_OTLP_TRACES_ENDPOINT": "http://127.0.0.1:4318/v1/traces"}, True),
        ({"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:4318", "OTEL_TRACES_EXPORTER": "none"}, False),
        ({"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:4318", "OTEL_SDK_DISABLED": "true"}, False),
    ],
)
def test_tracing_is_on_only_with_its_own_variables(variables: dict[str, str], wanted: bool) -> None:
    assert is_wanted(variables) is wanted


@installed
async def test_a_request_joins_the_trace_of_the_proxy(chosen: Settings) -> None:
    sdk, export = import_module("opentelemetry.sdk.trace"), import_module("opentelemetry.sdk.trace.export")
    memory = import_module("opentelemetry.sdk.trace.export.in_memory_span_exporter").InMemorySpanExporter()
    provider = sdk.TracerProvider()
    provider.add_span_processor(export.SimpleSpanProcessor(memory))
    async with AsyncTestClient(watched(with_spans(create(chosen), provider))) as client:
        sent = {"traceparent": PARENT, "X-Request-ID": "of-the-proxy"}
        await client.get(f"/api/v1/sources/{secret(1)}", params={"who": secret(1)}, headers=sent)
        await client.get(f"/{secret(1)}", headers=headers())
    first, second = memory.get_finished_spans()
    assert first.name == "GET /api/v1/sources/{source_id}"
    assert dict(first.attributes) == {
        **{"http.request.method": "GET", "http.route": "/api/v1/sources/{source_id}", "url.scheme": "http"},
        **{"http.response.status_code": 400, "splitline.request_id": "of-the-proxy"},
    }
    assert f"{first.context.trace_id:032x}-{first.parent.span_id:016x}" in PARENT
    assert first.kind.name == "SERVER"
    assert second.context.trace_id != first.context.trace_id
    assert second.attributes["http.response.status_code"] == 404
    assert secret(1) not in first.to_json() + second.to_json()


@installed
def test_a_collector_receives_the_spans_of_a_real_server(tmp_path: Path) -> None:
    with collector() as (address, taken):
        environment = {**os.environ, "OTEL_EXPORTER_OTLP_ENDPOINT": address}
        with served(tmp_path, environment=environment, anew=True) as server:
            httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        assert [path for path, _ in taken] == ["/v1/traces"]
        assert b"GET /healthz" in taken[0][1]
        assert b"splitline" in taken[0][1]


@pytest.mark.skipif(find_spec("opentelemetry") is not None, reason="OpenTelemetry is installed")
def test_without_the_packages_the_server_says_so_and_serves(tmp_path: Path) -> None:
    environment = {**os.environ, "OTEL_TRACES_EXPORTER": "otlp"}
    with served(tmp_path, environment=environment) as server:
        assert httpx.get(f"{server.url}/healthz", timeout=60, verify=False).status_code == 200
        assert "WARNING OTEL_ variables ask for traces; to send them, pip install" in server.errors.read_text()
