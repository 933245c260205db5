"""Push over HTTP: bad input gives a problem document that names the field, never a 500, and stores nothing."""

from random import Random

import pytest
from httpx import Response
from msgspec import json

from helpers.api_client import Client, fetch, headers, problem_of, push
from helpers.examples import Json, identifier, reading, secret, source


async def send(client: Client, body: bytes, **changes: str) -> Response:
    return await client.post("/api/v1/push", content=body, headers={**headers(), **changes})


async def stored(client: Client) -> list[Json]:
    return list((await fetch(client, "/api/v1/pull"))["changes"])


async def test_answers_are_in_the_order_of_the_records(client: Client) -> None:
    answer = await push(client, source(1), reading(1, at=1), {"kind": "song", "id": identifier(3)}, source(1))
    assert answer["received_at"] == "2026-04-01T12:00:00Z"
    assert [(a["kind"], a["status"]) for a in answer["answers"]] == [
        ("source", "stored"),
        ("test", "stored"),
        (None, "refused"),
        ("source", "known"),
    ]
    assert answer["answers"][1]["content"] == pytest.approx(83.08, abs=0.02)
    assert answer["answers"][1]["id"] == reading(1, at=1)["id"]
    assert answer["answers"][2]["problems"][0]["sentence"].startswith("The kind of record")
    assert set(answer["answers"][0]) == {
        "id",
        "kind",
        "revision",
        "status",
        "problems",
        "content",
        "expanded_uncertainty",
        "region",
    }


@pytest.mark.parametrize(
    ("body", "code", "field"),
    [
        (b"", "json_broken", ""),
        (b"{", "json_broken", ""),
        (b'{"records": [{"kind": "source",}]}', "json_broken", ""),
        (b"\xef\xbb\xbf{}", "json_broken", ""),
        (b'{"records": ["\xff"]}', "not_utf8", ""),
        (b'{"records": ["\\ud800"]}', "json_broken", ""),
        (b'{"records": [{"latitude": NaN}]}', "not_a_number", "records[0].latitude"),
        (b'{"records": [{}, {"runs": [{"line": -Infinity}]}]}', "not_a_number", "records[1].runs[0].line"),
        (b'{"records": ' + b"[" * 100_000 + b"]" * 100_000 + b"}", "json_deep", ""),
        (b"[" * 500_000, "type", ""),
        (b"null", "type", ""),
        (b"[]", "type", ""),
        (b"{}", "field_missing", "records"),
        (b'{"records": 5}', "type", "records"),
        (b'{"records": [], "colour": 1}', "field_unknown", "colour"),
        (b'{"records": [], "sent_at": "today"}', "time_unreadable", "sent_at"),
        (b'{"records": [' + b",".join([b"{}"] * 501) + b"]}", "length", "records"),
    ],
)
async def test_an_invalid_envelope_names_the_field(client: Client, body: bytes, code: str, field: str) -> None:
    document = problem_of(await send(client, body), 400)
    assert (document["code"], document["problems"][0]["field"]) == (code, field)
    assert await stored(client) == []


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"colour": 1}, "field_unknown", "colour"),
        ({"latitude": 10**400}, "range", "latitude"),
        ({"name": "a\x00b"}, "text_control", "name"),
        ({"name": "x" * 81}, "length", "name"),
        ({"recorded_at": "0001-01-01T00:00:00+14:00"}, "time_early", "recorded_at"),
        ({"subdivision": "nowhere"}, "length", "subdivision"),
    ],
)
async def test_an_invalid_record_is_refused_and_names_the_field(
    client: Client, change: Json, code: str, field: str
) -> None:
    body = json.encode({"records": [{**source(1), **change}]})
    answer = await send(client, body)
    assert answer.status_code == 200
    [refused] = answer.json()["answers"]
    assert (refused["status"], refused["id"]) == ("refused", identifier(1))
    assert (code, field) in [(p["code"], p["field"]) for p in refused["problems"]]
    assert await stored(client) == []


async def test_ten_megabytes_are_too_large(client: Client) -> None:
    document = problem_of(await send(client, b" " * 10_000_000), 413)
    assert document["problems"][0]["limit"] == "1048576"


@pytest.mark.parametrize(
    ("authorization", "code"),
    [
        ("", "no_secret"),
        ("Bearer", "no_secret"),
        ("Bearer 00", "secret_malformed"),
        (f"Bearer {secret(1).upper()}", "secret_malformed"),
        (f"Basic {secret(1)}", "secret_malformed"),
    ],
)
async def test_without_a_secret_the_push_is_refused(client: Client, authorization: str, code: str) -> None:
    answer = await send(client, json.encode({"records": [source(1)]}), Authorization=authorization)
    assert problem_of(answer, 401)["code"] == code
    assert answer.headers["www-authenticate"] == "Bearer"
    assert await stored(client) == []


@pytest.mark.parametrize("content", ["text/plain", "application/x-www-form-urlencoded", "", "multipart/form-data"])
async def test_only_json_is_accepted(client: Client, content: str) -> None:
    answer = await send(client, json.encode({"records": []}), **{"Content-Type": content})
    assert problem_of(answer, 415)["problems"][0]["field"] == "Content-Type"


async def test_random_bytes_never_cause_a_500(client: Client) -> None:
    random = Random(20260401)
    good = json.encode({"records": [source(1), reading(1, at=1)]})
    for _ in range(100):
        damaged = bytearray(good)
        for _ in range(random.randint(1, 4)):
            damaged[random.randrange(len(damaged))] = random.randrange(256)
        assert (await send(client, bytes(damaged))).status_code in (200, 400)


@pytest.mark.parametrize(
    "body", [b'{"":', b'{"more": 1, "records": [', b'{"records": 1, "sent_at"', b'{"records": [{}], "": tru']
)
async def test_a_wrong_field_in_truncated_json_is_not_a_500(client: Client, body: bytes) -> None:
    answer = await client.post("/api/v1/push", content=body, headers=headers())
    assert problem_of(answer, 400)["code"] == "json_broken"
