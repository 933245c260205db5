"""Uploading and downloading photos over HTTP."""

import io
from hashlib import sha256

import pytest
from PIL import Image

from helpers.api_client import Client, headers, problem_of, push
from helpers.examples import picture, reading, source

BODY = picture("JPEG", (400, 300))
DIGEST = sha256(BODY).hexdigest()
PATH = f"/api/v1/photos/{DIGEST}"
JPEG = headers(content="image/jpeg")


async def test_a_photo_is_uploaded_and_downloaded(client: Client) -> None:
    first = await client.put(PATH, content=BODY, headers=JPEG)
    again = await client.put(PATH, content=BODY, headers=JPEG)
    assert (first.status_code, again.status_code) == (201, 200)
    assert (await client.get(PATH)).status_code == 404, "no test names it yet"
    await push(client, source(1), reading(1, at=1, photos=[DIGEST]))
    whole = await client.get(PATH)
    assert first.json() == again.json() == {"sha256": DIGEST, "bytes": len(whole.content)}
    assert whole.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(whole.content)).size == (400, 300)
    small = await client.get(PATH, params={"width": 100})
    assert Image.open(io.BytesIO(small.content)).size == (160, 120)
    assert small.headers["etag"] != whole.headers["etag"]
    unchanged = await client.get(PATH, headers={"If-None-Match": whole.headers["etag"]})
    assert (unchanged.status_code, unchanged.content) == (304, b"")


@pytest.mark.parametrize(
    ("path", "body", "sent", "status", "code"),
    [
        (PATH, BODY, {}, 401, "no_secret"),
        (PATH, BODY + b"x", JPEG, 422, "digest_differs"),
        (PATH[:-1], BODY, JPEG, 400, "pattern"),
        ("/api/v1/photos/..%2F..%2Fetc", BODY, JPEG, 404, "not_found"),
        (PATH, BODY, headers(content="image/gif"), 415, "media_type"),
        (f"/api/v1/photos/{sha256(b'x').hexdigest()}", b"x", JPEG, 422, "photo_unreadable"),
        (PATH, bytes(3 * 1024 * 1024), JPEG, 413, "body_too_large"),
        (PATH + "?width=5", BODY, JPEG, 400, "field_unknown"),
    ],
)
async def test_an_unknown_photo_is_not_found(
    client: Client, path: str, body: bytes, sent: dict[str, str], status: int, code: str
) -> None:
    assert problem_of(await client.put(path, content=body, headers=sent), status)["code"] == code
    problem_of(await client.get(PATH), 404)


@pytest.mark.parametrize("width", ["0", "wide", "10001"])
async def test_an_invalid_width_is_refused(client: Client, width: str) -> None:
    assert problem_of(await client.get(PATH, params={"width": width}), 400)["problems"][0]["field"] == "width"
