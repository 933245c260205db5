"""GET /metrics: counts for monitoring in the text format of Prometheus, summed over all workers."""

import os
from collections import Counter as Tally
from collections.abc import Iterable

from litestar import Response
from prometheus_client import CONTENT_TYPE_LATEST, REGISTRY, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from splitline.answers import Answer
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.store import sequence, stale, tests

SHARED = "PROMETHEUS_MULTIPROC_DIR"
"""The variable that names the folder where workers share their counts; the library reads it on import."""

# Figures from the database are the same for all workers; they follow the workers' counts.
STORED = """\
# HELP splitline_changes Numbered changes.
# TYPE splitline_changes gauge
splitline_changes {changes}
# HELP splitline_held Tests that are held and wait for somebody to confirm them.
# TYPE splitline_held gauge
splitline_held {held}
# HELP splitline_stale_keys Changes of visits, sources, months and regions whose figures must be recomputed.
# TYPE splitline_stale_keys gauge
splitline_stale_keys {stale}
# HELP splitline_stale_age_seconds Age of the oldest of them.
# TYPE splitline_stale_age_seconds gauge
splitline_stale_age_seconds {age}
"""

# Global to the process: the library counts by process, and sums over the processes of the workers.
_requests = Counter("splitline_requests", "Answered requests.", ["method", "route", "status"])
_seconds = Histogram("splitline_request_seconds", "Seconds from a request to the end of its answer.", ["route"])
_records = Counter("splitline_records", "Pushed records by outcome.", ["answer"])
_refresh_seconds = Histogram(
    "splitline_refresh_seconds", "Seconds per step of updating the figures, computing included."
)
_cut = Counter(
    "splitline_connections_cut", "Connections that the server closed for lack of space or for being slow.", ["why"]
)
_faults = Counter("splitline_faults", "Failures of the database or the picture store.", ["fault"])


@reads("/metrics", content={"text/plain": {"type": "string"}})
async def metrics(request: HttpRequest, services: InjectedServices) -> Response[bytes]:
    """Return the counts in the text format of Prometheus."""
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
    """Count one step of updating the figures."""
    _refresh_seconds.observe(seconds)


def count_answers(answers: Iterable[Answer]) -> None:
    """Count the outcomes of one batch of records."""
    for status, count in Tally(answer.status for answer in answers).items():
        _records.labels(status).inc(count)


def count_cut(why: str) -> None:
    """Count one connection that the server closed: no space for it, replaced by another, or too slow."""
    _cut.labels(why).inc()


def count_fault(fault: Exception) -> None:
    """Count a request that failed because of storage, by kind of fault."""
    _faults.labels(type(fault).__name__).inc()


def _registry() -> CollectorRegistry:
    if SHARED not in os.environ:
        return REGISTRY
    together = CollectorRegistry()
    MultiProcessCollector(together)  # type: ignore[no-untyped-call]
    return together
