"""What the keeper of a server reads: one line a request, in both forms, and nothing of what a person sent."""

import json
from pathlib import Path

import httpx
import pytest

from calling import headers
from invented import secret, source
from serving import served
from splitline.store.schema import HEAD


def lines(errors: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in errors.read_text().splitlines()]


def test_json_lines_carry_route_status_time_and_size(tmp_path: Path) -> None:
    with served(tmp_path, "--log", "json") as server:
        httpx.post(f"{server.url}/api/v1/push", json={"records": [source(1)]}, headers=headers(), timeout=60)
        pulled = httpx.get(f"{server.url}/api/v1/pull", headers={"Accept-Encoding": "identity"}, timeout=60)
        httpx.get(f"{server.url}/api/v1/sources/{secret(1)}", params={"who": secret(1)}, timeout=60)
        httpx.request("PATCH", f"{server.url}/healthz", timeout=60)
    first, *requests = lines(server.errors)
    assert first["message"] == f"the database has schema {HEAD}"
    assert [(line["method"], line["route"], line["status"]) for line in requests] == [
        ("POST", "/api/v1/push", 200),
        ("GET", "/api/v1/pull", 200),
        ("GET", "/api/v1/sources/{source_id}", 400),
        ("other", "none", 405),
    ]
    assert {line["level"] for line in requests} == {"INFO"}
    assert requests[1]["bytes"] == len(pulled.content)
    assert all(float(str(line["milliseconds"])) > 0 for line in requests)
    assert secret(1) not in server.errors.read_text()


@pytest.mark.parametrize(("database_url", "workers"), [("sqlite", "1"), ("postgresql", "2")], indirect=["database_url"])
def test_text_lines_say_the_same(database_url: str, tmp_path: Path, workers: str) -> None:
    with served(tmp_path, "--workers", workers, "--database", database_url) as server:
        httpx.get(f"{server.url}/healthz", timeout=60)
    start, request = server.errors.read_text().splitlines()
    assert "INFO the database has schema" in start
    assert "INFO GET /healthz 200 " in request
