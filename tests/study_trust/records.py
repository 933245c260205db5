"""Records as the OpenAPI description specifies them, and the secrets and tubes of invented people."""

import hmac
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from random import Random
from typing import Any
from uuid import UUID

from study_trust.tube import FUEL, FUEL_WATER, TEMPERATURE, WATER, line_of

Json = dict[str, Any]

BOUND = 42
"""Bits of an id that only the holder of the secret can compute."""
LOWEST, HIGHEST = 12.0, 97.5
"""Contents that a line can mean here, % (V/V)."""


@dataclass(frozen=True)
class Person:
    """A person with a secret and a tube. offset: how much the tube reads too high; noise: SD of a run, points."""

    secret: str
    tube: Json
    offset: float
    noise: float


@dataclass(frozen=True)
class Sending:
    """What a person sends at once, and when the server receives it."""

    at: datetime
    secret: str
    records: tuple[Json, ...]


def person(name: str, start: datetime, offset: float = 0.0, noise: float = 0.3) -> Person:
    """Return a person; the same for the same name."""
    secret = sha256(name.encode()).hexdigest()
    tube = {"id": identifier(Random(name), start, secret), "scale": "volume", "graduation": 1.0}
    return Person(secret, tube, offset, noise)


def identifier(random: Random, moment: datetime, secret: str) -> str:
    """Return a UUID version 7 as phones make them: the last 42 bits are a keyed digest of the rest, HMAC-SHA-256.

    The key is the SHA-256 of the secret, so a server that lost a record can still check who made its id.
    """
    milliseconds = int(moment.timestamp() * 1000)
    rest = milliseconds << 80 | 0x7 << 76 | random.getrandbits(12) << 64 | 0b10 << 62 | random.getrandbits(20) << BOUND
    key = sha256(bytes.fromhex(secret)).digest()
    digest = hmac.digest(key, rest.to_bytes(16), "sha256")
    return str(UUID(int=rest | int.from_bytes(digest) >> (256 - BOUND)))


def source(random: Random, who: Person, name: str, place: tuple[float, float], moment: datetime) -> Json:
    """Return a source recorded by a person. place: WGS 84 degrees."""
    return {
        "kind": "source",
        "id": identifier(random, moment, who.secret),
        "revision": 1,
        "name": name,
        "latitude": round(place[0], 5),
        "longitude": round(place[1], 5),
        "recorded_at": moment.isoformat(timespec="seconds"),
    }


def test(random: Random, who: Person, at: str, moment: datetime, content: float) -> Json:
    """Return a test of two runs of fuel of a content, % (V/V), read to half a millilitre. at: the source."""
    seen = [content + who.offset + random.gauss(0, who.noise) for _ in range(2)]
    lines = [round(2 * line_of(min(max(one, LOWEST), HIGHEST))) / 2 for one in seen]
    return {
        "kind": "test",
        "id": identifier(random, moment, who.secret),
        "revision": 1,
        "source": at,
        "sampled": "pump",
        "sampled_at": moment.isoformat(timespec="seconds"),
        "tested_at": (moment + timedelta(minutes=40)).isoformat(timespec="seconds"),
        "tube": who.tube,
        "temperature": TEMPERATURE,
        "temperature_measured": True,
        "fuel_water": FUEL_WATER,
        "runs": [{"water": WATER, "fuel": FUEL, "line": line} for line in lines],
        "content": round(sum(map(_content_of, lines)) / len(lines), 3),
        "model": 2,
        "expanded_uncertainty": 1.5,
        "consent": "CC0-1.0",
    }


def _content_of(line: float) -> float:
    """Return the content for a line, % (V/V), by bisection."""
    low, high = LOWEST - 2, HIGHEST + 2
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if line_of(middle) < line else (low, middle)
    return low
