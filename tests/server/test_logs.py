"""The server log: one line per request, as text and as JSON, and nothing a person sent."""

import json
import shutil
from hashlib import sha256
from pathlib import Path

import httpx
import pytest

from helpers.api_client import headers
from helpers.examples import picture, secret, source
from helpers.server_process import served
from splitline.store.schema import HEAD


def lines(errors: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in errors.read_text().splitlines()]


def test_json_lines_have_route_status_time_and_size(tmp_path: Path) -> None:
    with served(tmp_path, "--log", "json") as server:
        httpx.post(
            f"{server.url}/api/v1/push", json={"records": [source(1)]}, headers=headers(), timeout=60, verify=False
        )
        pulled = httpx.get(
            f"{server.url}/api/v1/pull", headers={"Accept-Encoding": "identity"}, timeout=60, verify=False
        )
        httpx.get(f"{server.url}/api/v1/sources/{secret(1)}", params={"who": secret(1)}, timeout=60, verify=False)
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
def test_text_lines_have_the_same_fields(database_url: str, tmp_path: Path, workers: str) -> None:
    with served(tmp_path, "--workers", workers, "--database", database_url) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
    start, request = server.errors.read_text().splitlines()
    assert "INFO the database has schema" in start
    assert "INFO GET /healthz 200 " in request


def test_a_request_id_is_the_same_in_log_response_and_problem(tmp_path: Path) -> None:
    given = "0af7651916cd43dd-8448:eb21.1c80"
    malformed = ("short", "x" * 61, secret(1), "a b c d e f", 'a"quoted"name', "<script>alert</script>")
    with (
        served(tmp_path, "--log", "json") as server,
        httpx.Client(base_url=server.url, timeout=60, verify=False) as client,
    ):
        names = []
        for sent in (given, "", *malformed):
            answer = client.get("/api/v1/sources/nothing", headers={"X-Request-ID": sent} if sent else {})
            names.append(answer.headers["x-request-id"])
            assert answer.json()["request_id"] == names[-1]
        names.append(client.get("/healthz", headers={"X-Request-ID": given}).headers["x-request-id"])
        too_large = client.get("/healthz", headers={"X-Request-ID": given, "X-More": "a" * 30_000})
        names.append(too_large.headers["x-request-id"])
        assert too_large.json()["request_id"] == names[-1]
        shutil.rmtree(tmp_path / "photos")
        (tmp_path / "photos").write_text("no folder any more")
        body = picture()
        path = f"/api/v1/photos/{sha256(body).hexdigest()}"
        names.append(client.put(path, content=body, headers=headers(content="image/jpeg")).headers["x-request-id"])
    told = [str(line["request_id"]) for line in lines(server.errors) if line["name"] == "splitline.requests"]
    assert told == names
    assert [name == given for name in names] == [True, *[False] * 7, True, False, False]
    assert len(set(names)) == len(names) - 1
    # Messages logged during the request have the id too.
    assert [line["request_id"] for line in lines(server.errors) if line["level"] == "WARNING"] == names[-1:]


def test_text_lines_end_with_the_request_id(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        name = httpx.get(f"{server.url}/healthz", timeout=60, verify=False).headers["x-request-id"]
    assert server.errors.read_text().splitlines()[-1].endswith(f" bytes [{name}]")
