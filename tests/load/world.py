"""An invented country of any size, repeatable for the same size: districts with sources and people who test there.

A district has 50 sources within 40 km of its centre, and 50 people who each record one and test four, 25 times
in two years. Districts are at least 155 km apart, so a circle of 100 km always holds exactly one.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from math import cos, pi
from random import Random
from typing import Any

from splitline.chemistry.budget import Figures, results
from splitline.chemistry.extraction import line_of_content
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.identity import Identity, identity_of
from splitline.regions import Regions

Json = dict[str, Any]

START = datetime(2024, 11, 1, 6, tzinfo=UTC)
DAYS = 730
NOW = START + timedelta(days=DAYS)
SOURCES = PEOPLE = 50
PLACES, VISITS = 4, 25
TESTS = PEOPLE * PLACES * VISITS
"""Tests of one district."""
COUNTRY = "US"


@dataclass(frozen=True)
class District:
    """A centre in WGS 84 degrees, and its number among all districts."""

    number: int
    latitude: float
    longitude: float


@dataclass(frozen=True)
class Parcel:
    """What one person sends at once."""

    identity: Identity
    records: list[Json]


def districts(regions: Regions, count: int) -> list[District]:
    """Return the first districts of the country: grid points well inside the land, shuffled."""
    corners = [(29.5 + 1.4 * row, -122.0 + 2.1 * column) for row in range(14) for column in range(27)]
    Random(1).shuffle(corners)
    found: list[District] = []
    for latitude, longitude in corners:
        reach = [(latitude + y, longitude + x) for y in (-0.4, 0.0, 0.4) for x in (-0.5, 0.0, 0.5)]
        places = [regions.at(*place) for place in reach]
        if all(p.region and p.region.country == COUNTRY and p.certain for p in places) and len(found) < count:
            found.append(District(len(found), latitude, longitude))
    if len(found) < count:
        raise ValueError(f"the country has {len(found)} districts, not {count}")
    return found


def sources_of(district: District) -> Iterator[Parcel]:
    """Yield the sources of a district, each recorded by a different person."""
    for number in range(SOURCES):
        random = Random(f"source {district.number} {number}")
        turn, away = random.uniform(0, 2 * pi), random.uniform(0, 1) ** 0.5
        source = {
            "kind": "source",
            "id": identifier(random, START),
            "revision": 1,
            "name": f"Stop {district.number}-{number}",
            "latitude": round(district.latitude + 0.35 * away * cos(turn), 5),
            "longitude": round(district.longitude + 0.4 * away * cos(turn - pi / 2), 5),
            "recorded_at": _text(START),
        }
        yield Parcel(person(district, number), [source])


def tests_of(district: District) -> Iterator[Parcel]:
    """Yield a district's tests of two years, person by person."""
    for number in range(PEOPLE):
        places = [(number + step) % SOURCES for step in range(PLACES)]
        yield visits(district, f"person {number}", person(district, number), places, VISITS)


def visits(district: District, seed: str, who: Identity, places: list[int], count: int) -> Parcel:
    """Return the tests of one person, `count` at each of some sources, two runs each, in the order of time."""
    random = Random(f"{seed} {district.number}")
    tube = {"id": identifier(random, START), "scale": "volume", "graduation": 1.0}
    made = []
    for place in places:
        source = Random(f"source {district.number} {place}")
        at = {"source": identifier_after(source), "level": source.gauss(74, 4), "scatter": source.uniform(0.5, 4)}
        made += [_visit(random, at, tube, (visit + random.random()) * DAYS / count) for visit in range(count)]
    made.sort(key=lambda test: test["sampled_at"])
    _compute(made)
    return Parcel(who, made)


def person(district: District, number: int, kind: str = "person") -> Identity:
    """Return a person of a district."""
    identity = identity_of(secret(district, number, kind))
    assert identity
    return identity


def secret(district: District, number: int, kind: str = "person") -> str:
    """Return a person's secret."""
    return sha256(f"{kind} {district.number} {number}".encode()).hexdigest()


def identifier(random: Random, moment: datetime) -> str:
    """Return a UUID version 7."""
    text = f"{int(moment.timestamp() * 1000):012x}7{random.getrandbits(12):03x}8{random.getrandbits(60):015x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def identifier_after(random: Random) -> str:
    """Return a source's id from the first draws of its random generator, which is used on for its level."""
    random.uniform(0, 2 * pi)
    random.uniform(0, 1)
    return identifier(random, START)


def _visit(random: Random, at: Json, tube: Json, day: float) -> Json:
    moment = START + timedelta(days=day)
    season = 4.0 * cos(2 * pi * (moment.timetuple().tm_yday - 196) / 365.25)
    content = min(at["level"] + season + random.gauss(0, at["scatter"]), 88.0)
    # The line of 50 mL + 50 mL is nearly straight in the content; a person reads half millilitres.
    line = _LINE[0] + (content - 60.0) / 30.0 * (_LINE[1] - _LINE[0])
    runs = [{"water": 50.0, "fuel": 50.0, "line": round(2 * line + random.uniform(-0.4, 0.4)) / 2} for _ in range(2)]
    return {
        "kind": "test",
        "id": identifier(random, moment),
        "revision": 1,
        "source": at["source"],
        "sampled": "pump",
        "sampled_at": _text(moment),
        "tested_at": _text(moment + timedelta(minutes=40)),
        "tube": tube,
        "temperature": round(11 + 9 * season / 4 + random.gauss(0, 3)),
        "temperature_measured": True,
        "fuel_water": 0.5,
        "runs": runs,
        "consent": "CC0-1.0",
    }


_LINE = tuple(line_of_content(content, 50.0, 50.0, 15.0, 0.5) for content in (60.0, 90.0))


def _compute(tests: list[Json]) -> None:
    """Add the contents that a phone would compute."""
    tube = Tube("volume", 1.0)
    measured = [
        Measurement(tube, tuple(Run(50.0, 50.0, line=run["line"]) for run in t["runs"]), t["temperature"], True, 0.5)
        for t in tests
    ]
    for test, figures in zip(tests, results(measured), strict=True):
        assert isinstance(figures, Figures), figures
        test["content"] = round(figures.content, 3)
        test["expanded_uncertainty"] = round(figures.expanded_uncertainty, 3)


def _text(moment: datetime) -> str:
    return moment.replace(microsecond=0).isoformat()
