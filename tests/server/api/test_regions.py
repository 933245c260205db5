"""Regions over HTTP: totals, and months with robust figures."""

from statistics import median

import pytest
from shapely import MultiPolygon, Point
from shapely.geometry import shape

from helpers.api_client import Client, fetch, problem_of, push
from helpers.examples import IN_FR_15, reading, retraction, source
from splitline.regions import regions


async def test_regions_come_with_their_totals(client: Client) -> None:
    await push(client, source(1), source(2), source(3, IN_FR_15), reading(1, at=1), reading(2, at=1), reading(3, at=3))
    await push(client, reading(4, at=2), who=2)
    regions = (await fetch(client, "/api/v1/regions"))["regions"]
    assert regions == [
        {"code": "FR-15", "name": "Cantal", "country": "FR", "sources": 1, "tests": 1, "contributors": 1},
        {"code": "FR-63", "name": "Puy-de-Dôme", "country": "FR", "sources": 2, "tests": 3, "contributors": 2},
    ]


async def test_a_region_has_figures_by_month(client: Client) -> None:
    lines = (84.0, 85.0, 86.0, 87.0, 60.5)
    april = [
        reading(
            n, at=1, sampled_at=f"2026-01-{2 + n:02d}T08:00:00Z", runs=[{"water": 50.0, "fuel": 50.0, "line": line}]
        )
        for n, line in enumerate(lines)
    ]
    answers = (await push(client, source(1), *april, reading(30, at=1)))["answers"]
    page = await fetch(client, "/api/v1/regions/FR-63")
    assert (page["code"], page["name"], page["country"]) == ("FR-63", "Puy-de-Dôme", "FR")
    january, march = page["months"]
    assert (january["month"], january["tests"], january["sources"], january["contributors"]) == ("2026-01", 5, 1, 1)
    contents = [answer["content"] for answer in answers[1:6]]
    assert abs(january["centre"] - median(contents)) < 1.5, "one gross error moves the centre"
    middle = median(contents)
    assert january["spread"] == pytest.approx(1.4826 * median(abs(content - middle) for content in contents), abs=0.15)
    assert (march["tests"], march["spread"]) == (1, None)
    within = {"astm_d5798_15": (51, 83), "astm_d5798_10": (68, 83), "en_15293": (50, 85)}
    for code, (low, high) in within.items():
        assert january["inside"][code] == sum(low <= content <= high for content in contents) / 5
    assert 0 < january["inside"]["en_15293"] < 1


async def test_two_tests_of_one_visit_count_once(client: Client) -> None:
    """Two people differ by 5 points; three tests in ten minutes do not outvote the other person."""
    run = [{"water": 50.0, "fuel": 50.0, "line": 85.0}]
    again = [
        reading(n, at=1, sampled_at=f"2026-03-01T00:0{n}:00Z", runs=run, note=str(n), temperature=20.0 + 0.01 * n)
        for n in range(3)
    ]
    runs = [{**run[0], "line": 85.0 + 0.001 * n} for n in range(3)]
    mine = [{**test, "runs": [runs[n]]} for n, test in enumerate(again)]
    low = (await push(client, source(1), *mine))["answers"][1]["content"]
    high = (await push(client, reading(9, at=1, sampled_at="2026-03-01T00:05:00Z"), who=2))["answers"][0]["content"]
    [month] = (await fetch(client, "/api/v1/regions/FR-63"))["months"]
    assert month["tests"] == 4
    assert month["centre"] == pytest.approx((low + high) / 2, abs=0.05), "a histogram in steps of a tenth"


async def test_months_without_tests_are_left_out(client: Client) -> None:
    await push(client, source(1), reading(1, at=1))
    await push(client, retraction(reading(1, at=1)))
    assert (await fetch(client, "/api/v1/regions/FR-63"))["months"] == []
    assert (await fetch(client, "/api/v1/regions"))["regions"][0]["tests"] == 0


async def test_withdrawing_a_source_removes_its_tests_from_the_figures(client: Client) -> None:
    await push(client, source(1), reading(1, at=1))
    await push(client, retraction(source(1)))
    assert (await fetch(client, "/api/v1/regions/FR-63"))["months"] == []
    assert (await fetch(client, "/api/v1/regions"))["regions"] == []


@pytest.mark.parametrize("code", ["FR-00", "x", "%00", "fr-63"])
async def test_an_unknown_region_is_not_found(client: Client, code: str) -> None:
    problem_of(await client.get(f"/api/v1/regions/{code}"), 404)


async def test_a_region_has_an_outline(client: Client) -> None:
    answer = await client.get("/api/v1/regions/FR-15/outline")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/geo+json")
    feature = answer.json()
    assert feature["type"] == "Feature"
    assert feature["properties"] == {"code": "FR-15", "name": "Cantal", "country": "FR"}
    drawn = shape(feature["geometry"])
    assert drawn.is_valid
    assert isinstance(drawn, MultiPolygon)
    assert drawn.contains(Point(*reversed(IN_FR_15)))
    assert drawn.equals(regions().outline("FR-15"))
    for polygon in drawn.geoms:
        assert polygon.exterior.is_ccw
        assert polygon.exterior.is_closed
    known = {"If-None-Match": answer.headers["etag"]}
    assert (await client.get("/api/v1/regions/FR-15/outline", headers=known)).status_code == 304
    assert (await fetch(client, "/healthz"))["outlines"] in answer.headers["etag"]


async def test_a_region_without_an_outline_still_has_a_name(client: Client) -> None:
    feature = await fetch(client, "/api/v1/regions/GB-ENG/outline")
    assert (feature["properties"]["name"], feature["geometry"]) == ("England", None)
    for unknown in ("XX-99", "fr-15"):
        assert problem_of(await client.get(f"/api/v1/regions/{unknown}/outline"), 404)["code"] == "not_found"
