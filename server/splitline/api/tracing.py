"""OpenTelemetry traces, for operators who collect them: off unless its own variables turn them on.

A span says what a log line says, and nothing else that a person sent. It joins the trace that a proxy began (W3C Trace
Context, `traceparent`).
"""

import asyncio
import logging
from collections.abc import Mapping
from importlib import import_module
from typing import Any

from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from splitline import __version__
from splitline.api.watch import method_of, route_of
from splitline.logs import REQUEST

COLLECTORS = ("OTEL_EXPORTER_OTLP_ENDPOINT", "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT")
JOINED = (b"traceparent", b"tracestate")

log = logging.getLogger(__name__)


def is_wanted(environment: Mapping[str, str]) -> bool:
    """Whether OpenTelemetry's variables ask for traces by OTLP, by naming a collector or the exporter."""
    exporter = environment.get("OTEL_TRACES_EXPORTER", "").strip().lower()
    if environment.get("OTEL_SDK_DISABLED", "").strip().lower() == "true" or exporter not in ("", "otlp"):
        return False
    return exporter == "otlp" or any(environment.get(name) for name in COLLECTORS)


def traced(app: ASGIApp, environment: Mapping[str, str]) -> ASGIApp:
    """Return the application, with traces if they are wanted and the packages are installed."""
    if not is_wanted(environment):
        return app
    try:
        sdk, export = import_module("opentelemetry.sdk.trace"), import_module("opentelemetry.sdk.trace.export")
        otlp = import_module("opentelemetry.exporter.otlp.proto.http.trace_exporter")
        resources = import_module("opentelemetry.sdk.resources")
    except ModuleNotFoundError:
        log.warning("OTEL_ variables ask for traces; to send them, pip install 'splitline[otel]'")
        return app
    named = {"service.name": "splitline", "service.version": __version__}
    # OTEL_SERVICE_NAME and OTEL_RESOURCE_ATTRIBUTES take precedence.
    resource = resources.Resource(named).merge(resources.OTELResourceDetector().detect())
    provider = sdk.TracerProvider(resource=resource)
    provider.add_span_processor(export.BatchSpanProcessor(otlp.OTLPSpanExporter()))
    return with_spans(app, provider)


def with_spans(app: ASGIApp, provider: Any) -> ASGIApp:
    """Return the application with a span for every request. provider: a TracerProvider, shut down with the server."""
    trace = import_module("opentelemetry.trace")
    joined = import_module("opentelemetry.trace.propagation.tracecontext").TraceContextTextMapPropagator()
    tracer = provider.get_tracer("splitline", __version__)

    async def tracing(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != ScopeType.HTTP:  # lifespan events; there is nothing else here
            await app(scope, receive, send)
            await asyncio.to_thread(provider.shutdown)
            return
        carrier = {name.decode(): value.decode("latin-1") for name, value in scope["headers"] if name in JOINED}
        method = method_of(scope)
        with tracer.start_as_current_span(method, joined.extract(carrier), kind=trace.SpanKind.SERVER) as span:

            async def answer(message: Message) -> None:
                if message["type"] == "http.response.start":
                    span.set_attribute("http.response.status_code", message["status"])
                    if message["status"] >= 500:
                        span.set_status(trace.StatusCode.ERROR)
                await send(message)

            await app(scope, receive, answer)
            route = route_of(scope)
            span.update_name(f"{method} {route}")
            said = {"http.request.method": method, "http.route": route, "url.scheme": scope["scheme"]}
            span.set_attributes({**said, "splitline.request_id": REQUEST.get()})

    return tracing
