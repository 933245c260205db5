"""Claims about the server's security, each with the cases that try to break it.

A row's function gets an empty folder and roughly how many cases to try; it returns how many it tried, and raises
`AssertionError` at the first that breaks the claim.
"""

import csv
import io
import json
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any

import httpx
from litestar.testing import TestClient

from helpers.api_client import headers
from helpers.examples import IN_FR_15, Json, person, picture, reading, retraction, secret, source
from helpers.server_process import served
from security import fuzz, pictures
from security.schema import PHASES, explore
from splitline.app import create
from splitline.archive.fields import UNSEEN
from splitline.config import settings
from splitline.errors import Unusable
from splitline.photos.decoding import clean

Client = TestClient[Any]
HOSTILE = [
    *(
        '<img src=x onerror="alert(1)">',
        "<script>alert(1)</script>",
        "'\"><svg/onload=alert(1)>",
        "javascript:alert(1)",
    ),
    *(
        "=HYPERLINK(1)",
        "+1+1",
        "-1+1",
        "@SUM(1)",
        "＝1+1",
        "|cmd",
        '"\r\nBEGIN:VEVENT',
        "a,b;c\\n",
        "%s{0}${1}",
        "' OR '1'='1",
    ),
    *("\N{BYTE ORDER MARK}=1", "Ünïcödé 燃料 🚗", "../../etc/passwd", "null", "<!--", "]]>"),
]


def opened(folder: Path, **options: Any) -> Client:
    """Open the application on an empty database in a folder."""
    return TestClient(
        create(settings({"data": folder, "records_a_minute": "0", "requests_a_minute": "0", **options}, {}))
    )


def answers(client: Client, *records: Json, who: int = 1) -> list[Json]:
    """Send records; return the answers."""
    answer = client.post("/api/v1/push", json={"records": records}, headers=headers(who))
    assert answer.status_code == 200, answer.text
    return list(answer.json()["answers"])


def description(folder: Path, cases: int) -> int:
    """Let schemathesis test a real server by its OpenAPI description."""
    found = explore(folder, max(2, cases // 12), seed=1, phases="fuzzing,stateful" if cases < 1000 else PHASES)
    assert found.passed, found.report
    assert found.tracebacks == 0
    return found.cases


def owners(folder: Path, _cases: int) -> int:
    """Only the owner can revise or retract: every kind and action, by everyone, with every wrong secret."""
    tried = 0
    with opened(folder) as client:
        answers(client, source(1), source(2), reading(1, at=1))
        before = client.get("/api/v1/pull").json()["changes"]
        acts: list[Callable[[Json], Json]] = [
            lambda record: {**record, "revision": 2},
            lambda record: {**record, "revision": 1000},
            lambda record: retraction(record),
            lambda record: retraction(record, 1),
            lambda record: {**record, "kind": "source" if record["kind"] == "test" else "test"},
        ]
        for record, act, who in product((source(1), source(2), reading(1, at=1)), acts, range(2, 12)):
            assert answers(client, act(record), who=who)[0]["status"] == "refused"
            tried += 1
        own = secret(1)
        wrong = [
            own[:-1],
            own + "0",
            own.upper(),
            own[::-1],
            "",
            " ",
            "0x" + own,
            own[:-1] + "g",
            "f" * 64,
            "*",
            "null",
        ]
        for bad in wrong:
            for scheme in ("Bearer ", "bearer  ", "Basic ", "Bearer\t", ""):
                sent = {"Authorization": f"{scheme}{bad}", "Content-Type": "application/json"}
                body = {"records": [retraction(source(1))]}
                answer = client.post("/api/v1/push", json=body, headers=sent)
                refused = answer.status_code == 401 or answer.json()["answers"][0]["status"] == "refused"
                assert refused, sent
                tried += 1
        assert client.get("/api/v1/pull").json()["changes"] == before
        assert answers(client, {**source(1), "revision": 2})[0]["status"] == "replaced"
    return tried


def texts(folder: Path, _cases: int) -> int:
    """Names and notes come out unchanged, or made harmless for spreadsheets."""
    with opened(folder) as client:
        for n, text in enumerate(HOSTILE):
            place = source(n + 1, (45.5 + 0.01 * n, 3.05), name=text, notes=text, pump=text[:20])
            statuses = [entry["status"] for entry in answers(client, place, reading(n, at=n + 1, note=text))]
            assert statuses == ["stored", "stored"], text
        pulled = client.get("/api/v1/pull")
        assert pulled.headers["content-type"] == "application/json"
        named = [change["record"]["name"] for change in pulled.json()["changes"] if change["kind"] == "source"]
        assert sorted(named) == sorted(HOSTILE)
        table = client.get("/api/v1/regions/FR-63/dataset.csv")
        assert table.headers["content-type"].startswith("text/csv")
        cells = list(csv.DictReader(io.StringIO(table.text, newline="")))
        assert len(cells) == len(HOSTILE)
        for cell in cells:
            assert cell["source_name"].removeprefix("'") in {text.removeprefix("'") for text in HOSTILE}
            assert not cell["source_name"].lstrip(UNSEEN).startswith(("=", "+", "-", "@", "＝"))
        features = client.get("/api/v1/regions/FR-63/dataset.geojson")
        assert features.headers["content-type"] == "application/geo+json"
        assert sorted(one["properties"]["name"] for one in features.json()["features"]) == sorted(HOSTILE)
    return 3 * len(HOSTILE)


def bodies(folder: Path, _cases: int) -> int:
    """Bodies too large, understating their size, compressed or mislabelled are refused; nothing is stored."""
    json_type, image = headers(), headers(content="image/png")
    packed = [{"Content-Encoding": coding} for coding in ("gzip", "deflate", "br", "zstd", "gzip, gzip", "GZIP")]
    many = json.dumps({"records": [0] * 501}).encode()
    photo = f"/api/v1/photos/{'0' * 64}"
    tried: list[tuple[str, str, bytes, dict[str, str], int]] = [
        *(("POST", "/api/v1/push", bytes(size), json_type, 413) for size in (1_048_577, 2_000_000, 30_000_000)),
        *(("PUT", photo, bytes(size), image, 413) for size in (2_097_153, 30_000_000)),
        *(("POST", "/api/v1/push", b"{}", {**json_type, **more}, 415) for more in packed),
        *(("PUT", photo, b"{}", {**image, **more}, 415) for more in packed),
        *(
            ("POST", "/api/v1/push", b"{}", headers(content=kind), 415)
            for kind in ("", "text/plain", "application/xml")
        ),
        *(("PUT", photo, b"{}", headers(content=kind), 415) for kind in ("", "image/gif", "image/svg+xml")),
        ("POST", "/api/v1/push", many, json_type, 400),
        ("POST", "/api/v1/push", b"[" * 500_000, json_type, 400),
        ("PUT", photo, picture(), image, 422),
    ]
    with (
        served(folder, "--records-a-minute", "0") as server,
        httpx.Client(base_url=server.url, timeout=60, verify=False) as client,
    ):
        for method, path, body, sent, status in tried:
            parts = [body, iter([body[:100_000]] * (len(body) // 100_000 + 1))] if status == 413 else [body]
            for content in parts:
                answer = client.request(method, path, content=content, headers=sent)
                assert answer.status_code == status, (path, sent, len(body), answer.text)
                assert answer.headers["content-type"] == "application/problem+json"
        assert client.get("/api/v1/pull").json()["changes"] == []
        assert "Traceback" not in server.errors.read_text()
    return len(tried) + 5


def photos(_folder: Path, cases: int) -> int:
    """Hostile or damaged pictures come out as pixels alone, or not at all."""
    hostile = [*pictures.telling(), *pictures.swelling(), *pictures.pretending()]
    for one in hostile:
        assert outcome(one.body) == one.refused, one.name
    for seed in range(cases):
        outcome(pictures.damaged(seed))
    return len(hostile) + cases


def outcome(body: bytes) -> str | None:
    """The code that a picture is refused with; of an accepted one, check that only pixels are left."""
    try:
        kept = clean(body).body
    except Unusable as fault:
        return fault.problems[0].code
    assert [sign for sign in pictures.SIGNS if sign in kept] == []
    return None


def secrets(folder: Path, _cases: int) -> int:
    """A secret pasted in any place is neither logged, stored nor echoed."""
    tried = 0
    pasted = secret(7)
    for form in ("json", "text"):
        place = folder / form
        with (
            served(place, "--log", form) as server,
            httpx.Client(base_url=server.url, timeout=60, verify=False) as client,
        ):
            good = {
                **headers(7),
                "User-Agent": pasted,
                "Referer": f"https://x.example/{pasted}",
                "Cookie": f"a={pasted}",
            }
            sent: list[tuple[str, str, dict[str, Any]]] = [
                ("POST", "/api/v1/push", {"json": {"records": [source(1), reading(1, at=1)]}}),
                ("POST", "/api/v1/push", {"json": {"records": [{**source(2), "id": pasted}, {pasted: 1}, pasted]}}),
                ("POST", "/api/v1/push", {"json": {pasted: pasted}}),
                ("POST", "/api/v1/push", {"content": pasted}),
                ("POST", f"/api/v1/push?secret={pasted}", {"json": {"records": []}}),
                ("POST", f"/{pasted}", {}),
                ("PATCH", f"/api/v1/pull/{pasted}", {}),
                *(("GET", path.format(pasted), {}) for path in ("/{}", "/api/v1/pull?cursor={}", "/api/v1/pull?{}=1")),
                *(
                    ("GET", path.format(pasted), {})
                    for path in ("/api/v1/sources/{}", "/api/v1/regions/{}", "/metrics?{}")
                ),
                (
                    "PUT",
                    f"/api/v1/photos/{pasted}",
                    {"content": b"x", "headers": {**good, "Content-Type": "image/png"}},
                ),
                ("PUT", f"/api/v1/photos/{pasted}", {"content": b"x", "headers": {**good, "Content-Type": pasted}}),
                ("GET", "/healthz", {"headers": {**good, "Authorization": f"Bearer {pasted}x"}}),
                ("GET", "/metrics", {}),
            ]
            for method, path, more in sent:
                answer = client.request(method, path, **{"headers": good, **more})
                assert answer.status_code < 500
                assert pasted not in answer.text, (path, answer.text)
                assert pasted not in str(answer.headers)
            tried += len(sent)
            client.post("/api/v1/push", content=b"\xff", headers=good)
        files = [path for path in place.rglob("*") if path.is_file()]
        assert any(path.name == "errors.txt" and path.stat().st_size for path in files)
        for file in files:
            assert pasted.encode() not in file.read_bytes(), file
            assert bytes.fromhex(pasted) not in file.read_bytes(), file
    return tried


def pseudonyms(folder: Path, _cases: int) -> int:
    """Public data names nobody, and uses different pseudonyms for each region and year."""
    earlier = {"sampled_at": "2025-05-01T10:00:00Z", "tested_at": "2025-05-01T10:20:00Z"}
    with opened(folder) as client:
        for who in range(1, 11):
            there = [source(2 * who), source(2 * who + 1, IN_FR_15)]
            tests = [reading(who, at=2 * who), reading(who + 20, at=2 * who + 1), reading(who + 40, 2 * who, **earlier)]
            answers(client, *there, *tests, who=who)
        text = client.get("/api/v1/pull").text
        assert len({change["contributor"] for change in json.loads(text)["changes"]}) == 30
        for region, names in (("FR-63", 20), ("FR-15", 10)):
            rows = client.get(f"/api/v1/regions/{region}/dataset.csv").text
            assert len({row["contributor"] for row in csv.DictReader(io.StringIO(rows))}) == names
            text += rows + client.get(f"/api/v1/regions/{region}/dataset.geojson").text
    people = [person(who) for who in range(1, 11)]
    assert not [one for one in people if one.id in text or one.secret_digest in text]
    return 30


@dataclass(frozen=True)
class Row:
    """One claim. few, many: number of cases in the tests and in the table."""

    claim: str
    run: Callable[[Path, int], int]
    few: int
    many: int


ROWS = (
    Row("the description is kept: valid, invalid and linked requests (schemathesis)", description, 24, 4800),
    Row("no pushed body breaks the server (hypothesis)", fuzz.pushes, 60, 5000),
    Row("no CSV or JSON Lines file breaks the intake (hypothesis)", fuzz.files, 25, 1000),
    Row("only the owner's secret revises or retracts", owners, 0, 0),
    Row("names and notes are text in answers, CSV and GeoJSON", texts, 0, 0),
    Row("sizes, packings and media types have limits", bodies, 0, 0),
    Row("pictures leave as pixels alone, or not at all", photos, 150, 5000),
    Row("no secret in logs, files and answers", secrets, 0, 0),
    Row("exports are pseudonymous", pseudonyms, 0, 0),
)
