"""The public dataset over HTTP, read back with the standard library."""

import csv
import io
import json
from datetime import datetime
from typing import Any

import pytest

from helpers.api_client import Client, fetch, problem_of, push
from helpers.examples import IN_FR_15, identifier, person, reading, source
from server import public_view
from splitline.app import open_services
from splitline.archive.dataset import PAGE
from splitline.config import Settings
from splitline.figures.worker import Here
from splitline.moderation.decisions import Moderator, merge, withhold

REGION = "/api/v1/regions/FR-63"
NOW = datetime.fromisoformat("2026-04-01T12:00:00Z")
BY = Moderator("Ada", NOW)


async def rows(client: Client, path: str = f"{REGION}/dataset.csv") -> list[dict[str, str]]:
    answer = await client.get(path)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "text/csv; header=present; charset=utf-8"
    return list(csv.DictReader(io.StringIO(answer.content.decode(), newline=""), strict=True))


async def test_the_csv_has_every_reading_of_the_region(client: Client) -> None:
    await push(client, source(1, name='Halt "am Moor", links\nhinten', pump="E85"), source(2, IN_FR_15))
    await push(client, reading(1, at=1), reading(2, at=1, sampled="can"), reading(3, at=2))
    await push(client, reading(4, at=1), who=2)
    body = (await client.get(f"{REGION}/dataset.csv")).content
    assert body.endswith(b"\r\n")
    found = await rows(client)
    assert len(found) == 3
    first = found[0]
    assert first["source"] == identifier(1)
    assert first["source_name"] == 'Halt "am Moor", links\nhinten'
    assert (float(first["latitude"]), float(first["longitude"])) == (45.75, 3.05)
    assert float(first["content"]) == pytest.approx(83.08, abs=0.02)
    own, shared = float(first["own_uncertainty"]), float(first["shared_uncertainty"])
    expanded, factor = float(first["expanded_uncertainty"]), float(first["coverage_factor"])
    assert expanded == pytest.approx(factor * (own**2 + shared**2) ** 0.5, rel=0.02)
    assert datetime.fromisoformat(first["sampled_at"]) == datetime.fromisoformat("2026-03-01T12:00:00Z")
    assert [row["sampled"] for row in found] == ["pump", "can", "pump"]
    people = [row["contributor"] for row in found]
    assert people[0] == people[1] != people[2]


async def test_a_contributor_has_a_new_pseudonym_every_year(client: Client) -> None:
    earlier = reading(2, at=1, sampled_at="2025-12-31T23:30:00-03:00", tested_at="2026-01-01T09:00:00Z")
    await push(client, source(1), reading(1, at=1), earlier)
    assert [(row["contributor"], row["sampled_at"]) for row in await rows(client)] == [
        (public_view.called(person(1), "FR-63", 2026), "2026-03-01T12:00:00Z"),
        (public_view.called(person(1), "FR-63", 2025), "2025-12-31T12:00:00Z"),
    ]


@pytest.mark.parametrize("start", ["=1+2", "+1", "-1", "@SUM(A1)", "\t=1", "  =1", "＝1", "\ufeff=1", "\u00a0+1"])
async def test_no_name_can_become_a_spreadsheet_formula(client: Client, start: str) -> None:
    await push(client, source(1, (45.75, 3.05), name=f"{start}|cmd"), source(2, (-33.45, -70.66)), reading(1, at=1))
    await push(client, reading(2, at=2))
    [found] = await rows(client)
    assert found["source_name"] == f"'{start}|cmd"
    [southern] = await rows(client, "/api/v1/regions/CL-RM/dataset.csv")
    assert float(southern["latitude"]) == -33.45, "a number stays a number"


async def test_tests_that_do_not_count_are_left_out(client: Client, chosen: Settings) -> None:
    services = open_services(chosen, lambda: NOW, Here())
    far = (45.80, 3.10)
    await push(client, source(1), source(2, far), source(3, (45.9, 3.1)), reading(1, at=1), reading(2, at=2))
    await push(client, reading(1, at=1, id=identifier(77)), reading(3, at=1), reading(4, at=3))
    await withhold(services.store, reading(3, at=1)["id"], BY)
    await withhold(services.store, identifier(3), BY)
    await merge(services.store, identifier(2), identifier(1), BY)
    await services.store.close()
    assert [row["source"] for row in await rows(client)] == [identifier(1)] * 2
    collection = await fetch(client, f"{REGION}/dataset.geojson")
    assert [feature["id"] for feature in collection["features"]] == [identifier(1)]


async def test_sources_are_exported_as_geojson(client: Client) -> None:
    await push(client, source(1, name="Halt am Moor"), source(2, (45.8, 3.1)), reading(1, at=1), reading(2, at=1))
    answer = await client.get(f"{REGION}/dataset.geojson")
    assert answer.headers["content-type"] == "application/geo+json"
    collection: dict[str, Any] = json.loads(answer.content)
    assert collection["type"] == "FeatureCollection"
    tested, untested = collection["features"]
    assert tested["type"] == "Feature"
    assert tested["geometry"] == {"type": "Point", "coordinates": [3.05, 45.75]}, "longitude first (RFC 7946, 3.1.1)"
    assert tested["properties"]["name"] == "Halt am Moor"
    shown = tested["properties"]["figures"]
    listed = (await fetch(client, f"/api/v1/sources/{identifier(1)}"))["figures"]
    assert shown == {name: listed[name] for name in shown}
    assert {"typical", "typical_interval", "tau_interval", "next_fill", "tests", "evidence"} <= shown.keys()
    assert untested["properties"]["figures"] is None
    assert "crs" not in collection


async def test_nothing_is_lost_or_repeated_between_pages(client: Client) -> None:
    await push(client, *(source(n, (45.7 + n / 10_000, 3.05)) for n in range(1, 501)))
    await push(client, *(source(n, (45.7 + n / 10_000, 3.05)) for n in range(501, PAGE + 10)))
    for start in (0, 500):
        await push(client, *(reading(n, at=1 + n % 400) for n in range(start, min(start + 500, PAGE + 5))))
    assert len(await rows(client)) == PAGE + 5
    features = (await fetch(client, f"{REGION}/dataset.geojson"))["features"]
    assert len({feature["id"] for feature in features}) == PAGE + 9


@pytest.mark.parametrize("name", ["dataset.csv", "dataset.geojson"])
async def test_an_unchanged_dataset_is_304_until_something_changes(client: Client, name: str) -> None:
    empty = await client.get(f"{REGION}/{name}")
    assert empty.status_code == 200
    tag = empty.headers["etag"]
    again = await client.get(f"{REGION}/{name}", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    await push(client, source(1), reading(1, at=1))
    fresh = await client.get(f"{REGION}/{name}", headers={"If-None-Match": tag})
    assert fresh.status_code == 200
    assert len(fresh.content) > len(empty.content)
    head = await client.head(f"{REGION}/{name}")
    assert (head.status_code, head.content, head.headers["etag"]) == (200, b"", fresh.headers["etag"])
    problem_of(await client.get(f"/api/v1/regions/XX-1/{name}"), 404)
    problem_of(await client.get(f"{REGION}/{name}", params={"limit": 1}), 400)
