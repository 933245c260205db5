"""Invented people, sources and tests for the server's tests. The numbers are from a worked example.

50 mL water, 50 mL fuel, line at 88.8 mL, 20 degrees Celsius, dry fuel: 84.00 % by OIML R 22 densities.
"""

import io
from hashlib import sha256
from random import Random
from typing import Any

from msgspec import json
from PIL import Image

from splitline.identity import Identity, identity_of

Json = dict[str, Any]

# In the Puy-de-Dôme and in the Cantal, far from any border.
IN_FR_63 = (45.75, 3.05)
IN_FR_15 = (45.05, 2.55)
CONTENT = 83.08


def identifier(number: int) -> str:
    """Return a fixed UUID version 7."""
    return f"01990000-0000-7000-8000-{number:012x}"


def secret(person: int) -> str:
    """Return the secret of an invented person."""
    return sha256(f"person {person}".encode()).hexdigest()


def person(number: int) -> Identity:
    """Return an invented person."""
    identity = identity_of(secret(number))
    assert identity
    return identity


def source(number: int, place: tuple[float, float] = IN_FR_63, **changes: Any) -> Json:
    """Return a source."""
    made: Json = {
        "kind": "source",
        "id": identifier(number),
        "revision": 1,
        "name": f"Station {number}",
        "latitude": place[0],
        "longitude": place[1],
        "recorded_at": "2026-03-01T08:00:00Z",
    }
    return {**made, **changes}


def reading(number: int, at: int, **changes: Any) -> Json:
    """Return a test at source number `at`; each has its own hour, so no two are duplicates."""
    hour = f"2026-03-{1 + number // 24 % 28:02d}T{number % 24:02d}"
    made: Json = {
        "kind": "test",
        "id": identifier(0x1000000 + number),
        "revision": 1,
        "source": identifier(at),
        "sampled": "pump",
        "sampled_at": f"{hour}:00:00Z",
        "tested_at": f"{hour}:20:00Z",
        "tube": {"id": identifier(0x2000000), "scale": "volume", "graduation": 1.0},
        "temperature": 20.0,
        "temperature_measured": True,
        "fuel_water": 0.0,
        "runs": [{"water": 50.0, "fuel": 50.0, "line": 88.8}],
        "content": CONTENT,
        "model": 2,
        "expanded_uncertainty": 2.0,
        "consent": "CC0-1.0",
    }
    return {**made, **changes}


def retraction(record: Json, revision: int | None = None) -> Json:
    """Return the retraction of a record."""
    return {
        "kind": record["kind"],
        "id": record["id"],
        "revision": revision or record["revision"] + 1,
        "retracted": True,
    }


def texts(*records: Json) -> list[bytes]:
    """Return records as the JSON texts that intake expects."""
    return [json.encode(record) for record in records]


def picture(
    kind: str = "JPEG", size: tuple[int, int] = (64, 48), colour: tuple[int, int, int] = (200, 120, 40)
) -> bytes:
    """Return the bytes of a plain picture."""

    buffer = io.BytesIO()
    Image.new("RGB", size, colour).save(buffer, kind)
    return buffer.getvalue()


def drawing(seed: int, kind: str = "JPEG", size: tuple[int, int] = (360, 240)) -> bytes:
    """Return the bytes of a picture of grey squares; different seeds look different."""
    random = Random(seed)
    image = Image.new("L", (9, 8))
    image.putdata([random.randrange(256) for _ in range(72)])
    buffer = io.BytesIO()
    image.resize(size, Image.Resampling.BILINEAR).convert("RGB").save(buffer, kind)
    return buffer.getvalue()
