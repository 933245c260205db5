"""GET /metrics: the counts of all workers together, in a format that the reference library reads."""

import shutil
import time
from hashlib import sha256
from pathlib import Path

import httpx
import pytest
from prometheus_client.parser import text_string_to_metric_families

from helpers.api_client import headers
from helpers.examples import identifier, picture, reading, source
from helpers.server_process import served

MANY = 12


def samples(text: str) -> dict[tuple[str, tuple[tuple[str, str], ...]], float]:
    """Every sample by its name and labels."""
    families = text_string_to_metric_families(text)
    return {(one.name, tuple(sorted(one.labels.items()))): one.value for family in families for one in family.samples}


@pytest.mark.parametrize("database_url", ["postgresql"], indirect=True)
def test_counts_are_summed_over_workers(database_url: str, tmp_path: Path) -> None:
    with served(tmp_path, "--workers", "2", "--database", database_url) as server:
        for _ in range(MANY):
            # A new connection each time, so that both workers get some.
            httpx.get(f"{server.url}/healthz", headers={"Connection": "close"}, timeout=60, verify=False)
        records = [source(1), reading(2, at=1), reading(3, at=99), {"kind": "rubbish"}]
        for _ in range(2):
            httpx.post(
                f"{server.url}/api/v1/push", json={"records": records}, headers=headers(), timeout=60, verify=False
            )
        asked = "splitline_requests_total", (("method", "GET"), ("route", "/healthz"), ("status", "200"))
        until = time.monotonic() + 60
        # A worker counts a request after answering it, and the other worker may report it.
        while True:
            answer = httpx.get(f"{server.url}/metrics", timeout=60, verify=False)
            found = samples(answer.text)
            if found.get(asked) == MANY or time.monotonic() > until:
                break
    assert answer.headers["content-type"].startswith("text/plain; version=")
    assert found[asked] == MANY
    assert found["splitline_request_seconds_count", (("route", "/healthz"),)] == MANY
    answers = {labels[0][1]: value for (name, labels), value in found.items() if name == "splitline_records_total"}
    assert answers == {"stored": 2, "refused": 4, "known": 2}
    assert found["splitline_changes", ()] == 2
    assert found["splitline_held", ()] == 0


def test_an_unknown_path_adds_no_label(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        for number in range(5):
            httpx.get(f"{server.url}/nothing/{number}", timeout=60, verify=False)
        httpx.request("PATCH", f"{server.url}/healthz", timeout=60)
        found = samples(httpx.get(f"{server.url}/metrics", timeout=60, verify=False).text)
    routes = {dict(labels).get("route") for name, labels in found if name == "splitline_requests_total"}
    assert routes == {"/{path}", "none"}


def test_held_tests_and_storage_faults_are_counted(tmp_path: Path) -> None:
    first, again = reading(2, at=1), {**reading(2, at=1), "id": identifier(77)}
    with served(tmp_path) as server, httpx.Client(base_url=server.url, timeout=60, verify=False) as client:
        client.post("/api/v1/push", json={"records": [source(1), first, again]}, headers=headers())
        assert samples(client.get("/metrics").text)["splitline_held", ()] == 1
        shutil.rmtree(tmp_path / "photos")
        (tmp_path / "photos").write_text("no folder any more")
        body = picture()
        path = f"/api/v1/photos/{sha256(body).hexdigest()}"
        assert client.put(path, content=body, headers=headers(content="image/jpeg")).status_code == 503
        found = samples(client.get("/metrics").text)
        assert found["splitline_faults_total", (("fault", "PhotosUnavailable"),)] == 1
