"""GET /metrics: counts for a monitoring system, in the text format of Prometheus, of all workers together."""

import os
from collections import Counter as Tally
from collections.abc import Iterable

from litestar import Response
from prometheus_client import CONTENT_TYPE_LATEST, REGISTRY, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from splitline.answers import Answer
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.store import sequence, stale, tests

SHARED = "PROMETHEUS_MULTIPROC_DIR"
"""The variable that names the folder in which several workers count together; the library reads it when imported."""

# What the database knows is asked once for all workers, and stands after what they count.
STORED = """\
# HELP splitline_changes Numbered changes.
# TYPE splitline_changes gauge
splitline_changes {changes}
# HELP splitline_held Tests that are kept and wait for somebody's word.
# TYPE splitline_held gauge
splitline_held {held}
# HELP splitline_stale_keys Visits, sources, months and regions whose figures are to be computed anew.
# TYPE splitline_stale_keys gauge
splitline_stale_keys {stale}
# HELP splitline_stale_age_seconds Since when the oldest of them is.
# TYPE splitline_stale_age_seconds gauge
splitline_stale_age_seconds {age}
"""

# Counted for the whole process, as the library does it, which adds the workers up by their processes.
_requests = Counter("splitline_requests", "Answered requests.", ["method", "route", "status"])
_seconds = Histogram("splitline_request_seconds", "Seconds from a request to the end of its answer.", ["route"])
_records = Counter("splitline_records", "Pushed records by what became of them.", ["answer"])
_refresh_seconds = Histogram(
    "splitline_refresh_seconds", "Seconds that one step of bringing figures up to date takes, computing included."
)
_cut = Counter("splitline_connections_cut", "Connections that the server ended for want of room or time.", ["why"])
_faults = Counter("splitline_faults", "What the database or the place of the pictures could not do.", ["fault"])


@reads("/metrics", content={"text/plain": {"type": "string"}})
async def metrics(request: HttpRequest, services: Rooms) -> Response[bytes]:
    """Return counts in the text format of Prometheus."""
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        held = await tests.count_held(connection)
        left = await stale.backlog(connection)
    age = (services.now() - left.at).total_seconds() if left.at else 0.0
    stored = STORED.format(changes=head.value, held=held, stale=left.keys, age=max(age, 0.0))
    body = generate_latest(_registry()) + stored.encode()
    return Response(body, headers={"Content-Type": CONTENT_TYPE_LATEST, "Cache-Control": "no-store"})


def count_request(method: str, route: str, status: int, seconds: float) -> None:
    """Count one answered request."""
    _requests.labels(method, route, status).inc()
    _seconds.labels(route).observe(seconds)


def count_refresh(seconds: float) -> None:
    """Count one step of bringing figures up to date."""
    _refresh_seconds.observe(seconds)


def count_answers(answers: Iterable[Answer]) -> None:
    """Count what became of the records of one batch."""
    for status, count in Tally(answer.status for answer in answers).items():
        _records.labels(status).inc(count)


def count_cut(why: str) -> None:
    """Count one connection that the server ended: there was no room, it made room for another, or it was late."""
    _cut.labels(why).inc()


def count_fault(fault: Exception) -> None:
    """Count a request that failed for want of storage, by the kind of fault."""
    _faults.labels(type(fault).__name__).inc()


def _registry() -> CollectorRegistry:
    if SHARED not in os.environ:
        return REGISTRY
    together = CollectorRegistry()
    MultiProcessCollector(together)  # type: ignore[no-untyped-call]
    return together
