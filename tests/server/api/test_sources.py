"""Ranked sources over HTTP: order, radius, figures, and one source with its tests."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from helpers.api_client import Client, fetch, problem_of, push
from helpers.examples import IN_FR_15, IN_FR_63, Json, identifier, reading, retraction, source

SOURCES = "/api/v1/sources"
NEAR = {"near": "45.75,3.05"}
# Lines in mL of ten visits each: one source is steady, the other is not.
STEADY = (88.6, 88.8, 88.7, 88.8, 88.9, 88.7, 88.8, 88.6, 88.8, 88.7)
UNSTEADY = (88.9, 83.0, 90.5, 81.5, 89.0, 84.0, 91.0, 82.0, 88.0, 85.0)


def visits(at: int, lines: tuple[float, ...], first: int) -> list[Json]:
    return [
        reading(first + 24 * n, at=at, runs=[{"water": 50.0, "fuel": 50.0, "line": line}])
        for n, line in enumerate(lines)
    ]


async def fill(client: Client) -> None:
    """An unsteady source nearby, a steady one farther away, and an untested one."""
    near, far = (45.75, 3.06), (45.80, 3.10)
    await push(client, source(1, near), source(2, far), source(3, IN_FR_63))
    await push(client, *visits(1, UNSTEADY, 0), *visits(2, STEADY, 1))


async def test_the_steadiest_source_comes_first(client: Client) -> None:
    await fill(client)
    found = await fetch(client, SOURCES, **NEAR)
    assert [s["id"] for s in found["sources"]] == [identifier(2), identifier(1)]
    assert [s["id"] for s in found["unsampled"]] == [identifier(3)]
    steady, unsteady = (s["figures"] for s in found["sources"])
    assert steady["tau"] < unsteady["tau"]
    assert steady["tests"] == steady["visits"] == 10
    assert steady["contributors"] == 1
    assert steady["typical"] == pytest.approx(83, abs=1)
    assert steady["next_fill"][0] == steady["floor"] < steady["typical"] < steady["next_fill"][1]
    assert steady["last_sampled_at"] == "2026-03-10T12:00:00Z"
    assert found["unsampled"][0]["figures"] is None


async def test_sources_can_be_sorted_in_other_ways(client: Client) -> None:
    await fill(client)
    nearest = await fetch(client, SOURCES, **NEAR, order="nearest")
    assert [s["id"] for s in nearest["sources"]] == [identifier(1), identifier(2)]
    distances = [s["distance_km"] for s in nearest["sources"]]
    assert distances == sorted(distances)
    floors = [s["figures"]["floor"] for s in (await fetch(client, SOURCES, **NEAR, order="floor"))["sources"]]
    assert all(higher >= lower for higher, lower in pairwise(floors))


async def test_a_gross_error_is_listed_with_its_sampling_day(client: Client) -> None:
    """Weekly tests by three people, one of them about six points too low."""
    await push(client, source(1))
    for week in range(12):
        line = 85.3 if week == 7 else STEADY[week % 10]
        moment = f"{date(2026, 1, 5) + timedelta(weeks=week)}T10:00:00Z"
        runs = [{"water": 50.0, "fuel": 50.0, "line": line}]
        made = reading(week, at=1, runs=runs, sampled_at=moment, tested_at=moment)
        await push(client, made, who=1 + week % 3)
    figures = (await fetch(client, f"{SOURCES}/{identifier(1)}"))["figures"]
    assert (figures["visits"], figures["contributors"]) == (12, 3)
    assert figures["wrong"] == ["2026-02-23T12:00:00Z"]
    assert figures["season_uncertainty"] > 0
    assert figures["typical"] == pytest.approx(84, abs=1)


async def test_sources_have_distance_and_bearing_within_a_radius(client: Client) -> None:
    await push(client, source(1, (46.0, 3.0)), reading(1, at=1))
    [found] = (await fetch(client, SOURCES, near="45.0,3.0", within_km=120))["sources"]
    assert found["distance_km"] == pytest.approx(111.195, abs=0.001)
    assert found["bearing_deg"] == 0.0
    assert (await fetch(client, SOURCES, near="45.0,3.0", within_km=111))["sources"] == []


async def test_a_higher_minimum_lowers_the_probability(client: Client) -> None:
    await fill(client)
    chances = [
        (await fetch(client, SOURCES, **NEAR, minimum=minimum))["sources"][0]["figures"]["probability_at_minimum"]
        for minimum in (50, 84, 95)
    ]
    assert chances[0] > 0.99
    assert chances[0] > chances[1] > chances[2]
    assert chances[2] < 0.1


async def test_tests_that_do_not_count_are_not_in_the_figures(client: Client) -> None:
    await push(client, source(1), reading(1, at=1), reading(2, at=1, sampled="can"))
    await push(client, reading(1, at=1, id=identifier(60)))  # a duplicate, held
    old = "2023-01-01T08:00:00Z"
    await push(client, reading(3, at=1, sampled_at=old, tested_at=old))
    [found] = (await fetch(client, SOURCES, **NEAR))["sources"]
    assert found["figures"]["tests"] == 1
    await push(client, retraction(reading(1, at=1)))
    assert (await fetch(client, SOURCES, **NEAR))["sources"] == []


async def test_the_limit_cuts_the_list(client: Client) -> None:
    await push(client, *(source(n) for n in range(1, 6)), *(reading(n, at=n) for n in range(1, 4)))
    found = await fetch(client, SOURCES, **NEAR, limit=2)
    assert (len(found["sources"]), len(found["unsampled"])) == (2, 2)


async def test_a_source_lists_its_tests_newest_first(client: Client) -> None:
    await push(client, source(1, notes="behind the chapel"), reading(1, at=1), reading(30, at=1))
    page = await fetch(client, f"{SOURCES}/{identifier(1)}", **NEAR)
    assert page["notes"] == "behind the chapel"
    assert [change["id"] for change in page["tests"]] == [reading(n, at=1)["id"] for n in (30, 1)]
    assert page["tests"][0]["kind"] == "test"
    assert page["distance_km"] == 0.0
    assert (await fetch(client, f"{SOURCES}/{identifier(1)}"))["distance_km"] is None


async def test_a_source_lists_all_tests_of_a_day_and_those_from_cans(client: Client) -> None:
    """Also those that the day's mean leaves out."""
    made = [reading(n, at=1) for n in range(24, 47)]
    elsewhere = [reading(48, at=1, sampled="can"), reading(49, at=1, sampled="tank")]
    await push(client, source(1), *made, *elsewhere, reading(1, at=1), {**made[0], "id": identifier(60)})
    page = await fetch(client, f"{SOURCES}/{identifier(1)}")
    ids = [change["id"] for change in page["tests"]]
    assert ids == [record["id"] for record in (*elsewhere, *made, reading(1, at=1))]
    assert page["figures"]["tests"] == 21


async def test_an_unknown_or_withdrawn_source_is_not_found(client: Client) -> None:
    await push(client, source(1, IN_FR_15))
    await push(client, retraction(source(1)))
    for name in (identifier(1), identifier(2), "x", "%00", "a%2Fb", "é"):
        assert problem_of(await client.get(f"{SOURCES}/{name}"), 404)["code"] == "not_found"


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({}, "near"),
        ({"near": "here"}, "near"),
        ({"near": "91,0"}, "near"),
        ({"near": "0,181"}, "near"),
        ({"near": "nan,nan"}, "near"),
        ({"near": "45,3", "within_km": "nan"}, "within_km"),
        ({"near": "45,3", "within_km": "-1"}, "within_km"),
        ({"near": "45,3", "order": "best"}, "order"),
        ({"near": "45,3", "minimum": "101"}, "minimum"),
    ],
)
async def test_an_invalid_query_names_the_parameter(client: Client, query: dict[str, str], field: str) -> None:
    assert field in [p["field"] for p in problem_of(await client.get(SOURCES, params=query), 400)["problems"]]
