"""Links all public data as someone tracking a person would: what that revealed before, and what it reveals now."""

import csv
import io
from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, datetime
from random import Random
from uuid import UUID

from msgspec import json

from helpers.api_client import Client, fetch, headers, push
from helpers.examples import IN_FR_15, IN_FR_63, Json, person, reading, source
from splitline.identity import bound

PEOPLE = (1, 2, 3, 4)
PLACES = {"FR-63": IN_FR_63, "FR-15": IN_FR_15}
YEARS = (2025, 2026)
NOON = "T12:00:00Z"
DAY = 86_400_000


def id_of(time: str, who: int, random: Random, by_day: bool) -> str:
    """An id as the app makes it; or, if not by_day, as it used to: with the millisecond, bound to nobody."""
    at = int(datetime.fromisoformat(time).timestamp() * 1000)
    number = (at - at % DAY if by_day else at) << 80 | 0x7 << 76 | random.getrandbits(12) << 64 | 0b10 << 62
    made = str(UUID(int=number | random.getrandbits(62)))
    return bound(made, person(who).secret_digest) if by_day else made


async def fill(client: Client, by_day: bool) -> dict[str, int]:
    """Four people test in two regions and two years, each with their own weighed tube; return each test's owner."""
    random, whose = Random(20261130), dict[str, int]()
    stations = {region: source(n, place) for n, (region, place) in enumerate(PLACES.items(), start=1)}
    await push(client, *stations.values(), who=9)
    for who in PEOPLE:
        tube = {"id": id_of("2025-01-01T09:17:00Z", who, random, by_day), "scale": "volume", "graduation": 1.0}
        tube["calibration"] = [{"nominal": 50.0, "true": 50.0 + who / 100}, {"nominal": 100.0, "true": 100.0}]
        tests = []
        for n, (year, station) in enumerate((y, s) for y in YEARS for s in stations.values() for _ in range(3)):
            time = f"{year}-03-{2 * n + 1:02d}T{7 + who:02d}:{17 + n}:23Z"
            times = {"sampled_at": time, "tested_at": time, "id": id_of(time, who, random, by_day)}
            runs = [{"water": 50.0, "fuel": 50.0, "line": 88.8 + random.random() / 10}]
            tests.append(reading(n, at=1, source=station["id"], tube=tube, runs=runs, **times))
        answers = (await push(client, *tests, who=who))["answers"]
        assert {answer["status"] for answer in answers} == {"stored"}
        whose |= {test["id"]: who for test in tests}
    return whose


async def told_now(client: Client) -> list[Json]:
    """All public changes of tests."""
    found = list((await fetch(client, "/api/v1/pull"))["changes"])
    places = [change["id"] for change in found if change["kind"] == "source"]
    for place in places:
        found += (await fetch(client, f"/api/v1/sources/{place}"))["tests"]
    return [change for change in found if change["kind"] == "test"]


async def told_before(client: Client, whose: dict[str, int]) -> list[Json]:
    """The same as it used to be: the records as sent, with the contributor and the time of arrival."""
    found = []
    for who in PEOPLE:
        ids = ",".join(test for test, owner in whose.items() if owner == who)
        answer = await client.get("/api/v1/own", params={"ids": ids}, headers=headers(who))
        found += answer.json()["changes"]
    return found


async def datasets(client: Client) -> Iterator[dict[str, str]]:
    texts = [(await client.get(f"/api/v1/regions/{region}/dataset.csv")).text for region in PLACES]
    return (row for text in texts for row in csv.DictReader(io.StringIO(text)))


def clues(change: Json) -> set[str]:
    """What links two tests of one person: a pseudonym, a tube, its calibration."""
    tubes = [change["record"]["tube"], *(run["tube"] for run in change["record"]["runs"] if run.get("tube"))]
    weighed = [json.encode(tube["calibration"]).decode() for tube in tubes if tube.get("calibration")]
    return {change["contributor"], *(tube["id"] for tube in tubes), *weighed}


def joined(changes: list[Json]) -> list[set[str]]:
    """Return groups of tests that are linked directly or through others."""
    groups: list[tuple[set[str], set[str]]] = []
    for change in changes:
        hints, tests = clues(change), {change["id"]}
        for group in [group for group in groups if group[0] & hints]:
            groups.remove(group)
            hints |= group[0]
            tests |= group[1]
        groups.append((hints, tests))
    return [tests for _, tests in groups]


def resolved(changes: list[Json], whose: dict[str, int]) -> int:
    """Return how many people can be tracked across regions or years."""
    cells = {change["id"]: (change["region"], change["record"]["sampled_at"][:4]) for change in changes}
    followed = set()
    for tests in joined(changes):
        owners = {whose[test] for test in tests}
        assert len(owners) == 1, "a link never joins two people"
        if len({cells[test] for test in tests}) > 1:
            followed |= owners
    return len(followed)


def timed(changes: list[Json]) -> int:
    """Return how many tests reveal a time of day in one of their times or in their id."""
    found = set()
    for change in changes:
        times = [change["received_at"], change["record"]["sampled_at"], change["record"]["tested_at"]]
        made = int(change["id"].replace("-", "")[:12], 16)
        if made % DAY or any(not time.endswith(NOON) for time in times):
            found.add(change["id"])
    return len(found)


async def test_the_old_records_let_anyone_be_tracked_to_the_minute(client: Client) -> None:
    whose = await fill(client, by_day=False)
    before = await told_before(client, whose)
    assert len(before) == len(whose) == 48
    assert (resolved(before, whose), timed(before)) == (4, 48)


async def test_nobody_can_be_tracked_across_regions_or_years(client: Client) -> None:
    whose = await fill(client, by_day=True)
    now = await told_now(client)
    assert {change["id"] for change in now} == whose.keys()
    assert (resolved(now, whose), timed(now)) == (0, 0)
    rows = list(await datasets(client))
    assert len(rows) == 48
    assert {row[name][10:] for row in rows for name in ("sampled_at", "tested_at")} == {NOON}
    named: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for row in rows:
        named[row["contributor"]].add((row["region"], row["sampled_at"][:4]))
    assert {len(cells) for cells in named.values()} == {1}
    assert named.keys() == {change["contributor"] for change in now}


async def test_figures_reveal_only_the_day(client: Client) -> None:
    await fill(client, by_day=True)
    for place in range(1, 3):
        page = await fetch(client, f"/api/v1/sources/{source(place)['id']}")
        figures = page["figures"]
        moments = [figures["last_sampled_at"], *figures["wrong"], *(one["at"] for one in figures["changes"])]
        assert [moment for moment in moments if not moment.endswith(NOON)] == []
        assert datetime.fromisoformat(moments[0]) <= datetime(2026, 4, 1, tzinfo=UTC)


async def test_weights_use_public_pseudonyms(client: Client) -> None:
    whose = await fill(client, by_day=True)
    names = {(change["region"], change["contributor"]) for change in await told_now(client) if change["id"] in whose}
    told = (await fetch(client, "/api/v1/contributors"))["contributors"]
    weighed = [(one["region"], one["contributor"]) for one in told]
    assert names <= set(weighed)
    assert weighed == sorted(weighed), "the order reveals nothing"
    assert len(weighed) == len(set(weighed)) == len(PEOPLE) * len(PLACES) * 3
