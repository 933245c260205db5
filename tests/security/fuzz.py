"""Bodies and files that nobody meant to send, made by hypothesis from good ones and from nothing."""

import copy
import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from litestar.testing import TestClient

from helpers.api_client import headers
from helpers.examples import Json, reading, retraction, source
from splitline import config
from splitline.app import create
from splitline.cli import main

STATUSES = {"stored", "known", "replaced", "held", "refused"}
GOOD = [source(1), reading(1, at=1), reading(2, at=1, note="early"), retraction(reading(2, at=1)), source(2)]
# Each time a copy: what is changed in one case must not turn up changed in the next.
ODD = st.sampled_from(
    [
        *(None, True, -1, 0, 1e308, -0.0, 2**63, 2**64, 10**400, [], {}, [[]]),
        *("", " ", "\x00", "\ud800", "𝟗", "9" * 400, "NaN", "../../etc", "' OR 1=1 --"),
        *("2026-03-01T08:00:00Z", "0000-00-00T00:00:00Z", "9999-12-31T23:59:60+23:59"),
    ]
).map(copy.deepcopy)
VALUES = ODD | st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=8,
)


@st.composite
def records(draw: st.DrawFn) -> Any:
    """A record with some of its parts changed, left out, doubled or added; or no record at all."""
    if draw(st.integers(0, 9)) == 0:
        return draw(VALUES)
    record = copy.deepcopy(draw(st.sampled_from(GOOD)))
    for _ in range(draw(st.integers(0, 4))):
        place: Any = record
        while isinstance(place, dict | list) and place:
            key = draw(st.sampled_from(sorted(place) if isinstance(place, dict) else range(len(place))))
            inner = place[key]
            if isinstance(inner, dict | list) and inner and draw(st.booleans()):
                place = inner
                continue
            if isinstance(place, dict) and draw(st.integers(0, 3)) == 0:
                del place[key]
            else:
                place[key] = draw(VALUES)
            break
    return record


BODIES = (
    st.lists(records(), max_size=6).map(lambda made: encoded({"records": made}))
    | st.dictionaries(st.sampled_from(["records", "sent_at", "more"]), VALUES, max_size=3).map(
        lambda made: encoded(made)
    )
    | st.binary(max_size=300)
    | st.integers(1, 100_000).map(lambda depth: b'{"records":[' + b"[" * depth)
    | st.tuples(st.lists(records(), max_size=3), st.integers(0, 400), st.binary(max_size=3)).map(
        lambda parts: cut(*parts)
    )
)


def encoded(value: object) -> bytes:
    """JSON as Python writes it: with NaN, and with halves of characters as they are."""
    return json.dumps(value, ensure_ascii=False).encode("utf-8", "surrogatepass")


def cut(made: list[Any], at: int, instead: bytes) -> bytes:
    """A body with a place overwritten."""
    body = encoded({"records": made})
    return body[:at] + instead + body[at + len(instead) :]


def pushes(folder: Path, cases: int, number: int = 1) -> int:
    """Push bodies; every one is answered record by record or with a problem document, and what is good gets in."""
    with TestClient(
        create(config.settings({"data": folder, "records_a_minute": "0", "requests_a_minute": "0"}, {}))
    ) as client:

        def one(body: bytes) -> None:
            answer = client.post("/api/v1/push", content=body, headers=headers())
            document: Json = answer.json()
            if answer.status_code != 200:
                assert answer.status_code in (400, 413, 422), (body, document)
                assert answer.headers["content-type"] == "application/problem+json"
                assert document["problems"], body
                return
            assert len(document["answers"]) == len(json.loads(body)["records"])
            for entry in document["answers"]:
                assert entry["status"] in STATUSES
                assert (entry["status"] == "refused") <= bool(entry["problems"])

        tried = repeat(BODIES, one, cases, number)
        after = client.post("/api/v1/push", json={"records": [source(99), reading(99, at=99)]}, headers=headers(2))
        assert [entry["status"] for entry in after.json()["answers"]] == ["stored", "stored"]
    return tried


@st.composite
def tables(draw: st.DrawFn) -> bytes:
    """A CSV file of records: columns by path, cells of all kinds, rows of any length."""
    known = ["kind", "id", "revision", "name", "latitude", "longitude", "tube.scale", "runs[0].line", "recorded_at"]
    columns = draw(st.lists(st.sampled_from(known) | st.text(max_size=8), max_size=8))
    cell = st.sampled_from(["source", "test", "1", "45.1", source(1)["id"], "=1+1", "NaN", "1e999"]) | st.text(
        max_size=8
    )
    text = io.StringIO()
    csv.writer(text).writerows([columns, *draw(st.lists(st.lists(cell, max_size=9), max_size=5))])
    return text.getvalue().encode("utf-8", "surrogatepass")


LINES = st.lists(records(), min_size=1, max_size=6).map(lambda made: b"\n".join(map(encoded, made)))
FILES = tables() | LINES | st.binary(max_size=400) | st.binary(max_size=200).map(lambda tail: b"{" + tail)


def files(folder: Path, cases: int, number: int = 1) -> int:
    """Take files in; each ends with an exit status and sentences, never with a traceback."""
    folder.mkdir(parents=True, exist_ok=True)
    secret, given_in = folder / "secret.txt", folder / "records"
    secret.write_text("ab" * 32)

    def one(body: bytes) -> None:
        given_in.write_bytes(body)
        assert main(["intake", str(given_in), "--data", str(folder / "data"), "--secret-file", str(secret)]) in (
            0,
            1,
            2,
        )

    return repeat(FILES, one, cases, number)


def repeat(strategy: st.SearchStrategy[bytes], one: Callable[[bytes], None], cases: int, number: int) -> int:
    """Try so many cases from a seed; return how many were tried."""
    tried = 0

    @seed(number)
    @settings(
        max_examples=cases,
        deadline=None,
        database=None,
        phases=[Phase.generate, Phase.shrink],
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy)
    def trying(body: bytes) -> None:
        nonlocal tried
        tried += 1
        one(body)

    trying()
    return tried
