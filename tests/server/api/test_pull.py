"""Pull over HTTP: pages, cursors, tombstones and unchanged answers."""

import gzip

import pytest
import zstandard

from helpers.api_client import Client, fetch, problem_of, push
from helpers.examples import IN_FR_15, identifier, person, reading, retraction, source
from server import public_view
from splitline.api.compression import SMALLEST

PULL = "/api/v1/pull"


async def test_changes_come_in_order_with_the_servers_figures(client: Client) -> None:
    await push(client, source(1), reading(1, at=1))
    page = await fetch(client, PULL)
    station, test = page["changes"]
    assert page["more"] is False
    assert (station["sequence"], test["sequence"]) == (1, 2)
    assert station["record"]["name"] == "Station 1"
    assert station["figures"] is None
    (run,) = test["record"]["runs"]
    assert run == {"water": 50.0, "fuel": 50.0, "line": 88.8, "percent": None, "top": None}, (
        "later fields have defaults"
    )
    assert test["figures"]["content"] == pytest.approx(83.08, abs=0.02)
    assert set(test["figures"]) == {
        "content",
        "expanded_uncertainty",
        "own_uncertainty",
        "shared_uncertainty",
        "coverage_factor",
        "model",
        "former",
    }
    assert {name: test[name] for name in ("kind", "region", "contributor", "received_at", "state", "flags")} == {
        "kind": "test",
        "region": "FR-63",
        "contributor": public_view.called(person(1), "FR-63", 2026),
        "received_at": "2026-04-01T12:00:00Z",
        "state": "counted",
        "flags": [],
    }


async def test_paging_returns_every_change_once(client: Client) -> None:
    await push(client, source(1), *(reading(n, at=1) for n in range(9)))
    seen, query = [], {"limit": 4}
    while True:
        page = await fetch(client, PULL, **query)
        seen += [change["sequence"] for change in page["changes"]]
        query = {"limit": 4, "cursor": page["cursor"]}
        if not page["more"]:
            break
    assert seen == list(range(1, 11))
    assert (await fetch(client, PULL, **query))["changes"] == []


async def test_a_tombstone_carries_no_content(client: Client) -> None:
    await push(client, source(1), reading(1, at=1, note="by the wall"))
    await push(client, retraction(reading(1, at=1)))
    answer = await client.get(PULL)
    assert "by the wall" not in answer.text
    gone = answer.json()["changes"][-1]
    assert (gone["retracted"], gone["record"], gone["figures"]) == (True, None, None)
    assert (gone["id"], gone["revision"], gone["region"]) == (reading(1, at=1)["id"], 2, "FR-63")


async def test_a_held_test_comes_without_its_content(client: Client) -> None:
    await push(client, source(1), reading(1, at=1), reading(1, at=1, id=identifier(50)))
    held = (await fetch(client, PULL))["changes"][-1]
    assert (held["state"], held["record"], held["figures"], held["flags"]) == ("held", None, None, ["twin_runs"])


async def test_pull_can_be_limited_to_regions(client: Client) -> None:
    await push(client, source(1), source(2, IN_FR_15))
    assert [c["id"] for c in (await fetch(client, PULL, region="FR-15"))["changes"]] == [identifier(2)]
    assert len((await fetch(client, PULL, region="FR-15,FR-63"))["changes"]) == 2


@pytest.mark.parametrize("cursor", ["feedfeedfeedfeed.1", "x", "1", ".", "-", "feed.-1", "feed.9999999999999999999"])
async def test_a_cursor_from_another_database_restarts_the_pull(client: Client, cursor: str) -> None:
    assert problem_of(await client.get(PULL, params={"cursor": cursor}), 410)["code"] == "cursor_expired"


async def test_a_cursor_beyond_the_end_restarts_the_pull(client: Client) -> None:
    """After a restore from an older copy, the phone has seen sequence numbers that will be used again."""
    epoch = (await fetch(client, PULL))["cursor"].split(".")[0]
    for number in ("1", "99999999999999999999999999", "٣"):
        problem_of(await client.get(PULL, params={"cursor": f"{epoch}.{number}"}), 410)


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"limit": "0"}, "limit"),
        ({"limit": "501"}, "limit"),
        ({"limit": "many"}, "limit"),
        ({"limit": "9" * 400}, "limit"),
        ({"region": "fr-63"}, "region"),
        ({"region": "FR-63;DROP"}, "region"),
        ({"region": "FR-63,"}, "region"),
        ({"since": "1"}, "since"),
    ],
)
async def test_an_invalid_query_names_the_parameter(client: Client, query: dict[str, str], field: str) -> None:
    assert problem_of(await client.get(PULL, params=query), 400)["problems"][0]["field"] == field


async def test_an_unchanged_page_is_304_until_something_changes(client: Client) -> None:
    await push(client, source(1))
    tag = (await client.get(PULL)).headers["etag"]
    again = await client.get(PULL, headers={"If-None-Match": f'"other", {tag}'})
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    await push(client, source(2))
    changed = await client.get(PULL, headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["etag"] != tag


async def test_large_answers_are_compressed(client: Client) -> None:
    await push(client, source(1), *(reading(n, at=1) for n in range(50)))
    async with client.stream("GET", PULL, headers={"Accept-Encoding": "gzip"}) as answer:
        raw = b"".join([chunk async for chunk in answer.aiter_raw()])
    assert answer.headers["content-encoding"] == "gzip"
    assert len(gzip.decompress(raw)) > 5 * len(raw)
    plain = gzip.decompress(raw)
    async with client.stream("GET", PULL, headers={"Accept-Encoding": "gzip, zstd"}) as answer:
        raw = b"".join([chunk async for chunk in answer.aiter_raw()])
    assert answer.headers["content-encoding"] == "zstd"
    assert "accept-encoding" in answer.headers["vary"].lower()
    assert zstandard.ZstdDecompressor().decompressobj().decompress(raw) == plain
    assert len(plain) > 5 * len(raw)


async def test_small_answers_are_not_compressed(client: Client) -> None:
    await push(client, source(1))
    answer = await client.get(PULL, headers={"Accept-Encoding": "gzip, zstd"})
    assert len(answer.content) < SMALLEST
    assert "content-encoding" not in answer.headers


async def test_only_the_requested_regions_come_in_order_for_any_page_size(client: Client) -> None:
    """Two regions alternate, a third is not requested, and a source that left one of them is reported."""
    await push(client, source(1), source(2, IN_FR_15), source(3), *(reading(n, at=1 + n % 2) for n in range(8)))
    await push(client, source(3, IN_FR_15, revision=2))
    seen, query = [], {"region": "FR-15,FR-63", "limit": 3}
    while (page := await fetch(client, PULL, **query))["changes"]:
        seen += [change["sequence"] for change in page["changes"]]
        query |= {"cursor": page["cursor"]}
    assert seen == [1, 2, *range(4, 13)]
    left = await fetch(client, PULL, region="FR-63")
    assert [change["region"] for change in left["changes"] if change["id"] == identifier(3)] == ["FR-15"]
    assert {change["region"] for change in left["changes"]} == {"FR-15", "FR-63"}
