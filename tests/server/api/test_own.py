"""GET own: one's own records as they were sent, and nobody else's."""

import pytest
from sqlalchemy import update

from helpers.api_client import Client, fetch, headers, problem_of, push
from helpers.examples import Json, person, reading, retraction, source
from splitline.store.driver import execute
from splitline.store.engine import Store
from splitline.store.schema import contributors

TUBE = {"id": "01990000-0000-7000-8000-000002000009", "scale": "volume", "graduation": 1.0}
TUBE["calibration"] = [{"nominal": 50.0, "true": 50.1}]


async def own(client: Client, *records: Json, who: int = 1) -> list[Json]:
    ids = ",".join(record["id"] for record in records)
    answer = await client.get("/api/v1/own", params={"ids": ids}, headers=headers(who))
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    return sorted(answer.json()["changes"], key=lambda change: change["sequence"])


async def test_a_record_comes_back_complete(client: Client) -> None:
    place, test = source(1), reading(1, at=1, tube=TUBE)
    await push(client, place, test)
    found = await own(client, place, test)
    assert [change["record"]["id"] for change in found] == [place["id"], test["id"]]
    assert {change["contributor"] for change in found} == {person(1).id}
    assert found[0]["record"]["recorded_at"] == place["recorded_at"]
    assert found[1]["record"]["sampled_at"] == test["sampled_at"]
    assert found[1]["record"]["tube"].items() >= TUBE.items()
    [pulled] = [one for one in (await fetch(client, "/api/v1/pull"))["changes"] if one["id"] == test["id"]]
    assert found[1]["figures"] == pulled["figures"]


async def test_other_peoples_and_withdrawn_records_are_left_out(client: Client) -> None:
    place, test = source(1), reading(1, at=1)
    await push(client, place, test, retraction(test))
    assert await own(client, place, test, who=2) == []
    assert [change["id"] for change in await own(client, place, test)] == [place["id"]]


async def test_the_stored_digest_decides_and_not_the_id(client: Client, store: Store) -> None:
    """Ids have 64 of a secret's 256 bits: another secret with the same id must not read anything."""
    test = reading(1, at=1)
    await push(client, source(1), test)
    async with store.write() as connection:
        await execute(connection, update(contributors).values(secret_digest="0" * 64))
    assert await own(client, test) == []
    assert (await client.get("/api/v1/tubes", headers=headers())).json() == {"tubes": []}


async def test_a_held_record_comes_back_too(client: Client) -> None:
    test = reading(1, at=1)
    duplicate = {**test, "id": reading(2, at=1)["id"]}
    await push(client, source(1), test, duplicate)
    [found] = await own(client, duplicate)
    assert (found["state"], found["record"]["id"]) == ("held", duplicate["id"])


@pytest.mark.parametrize("given", [None, "Bearer abc"])
async def test_without_a_secret_the_request_is_refused(client: Client, given: str | None) -> None:
    ids = {"ids": source(1)["id"]}
    answer = await client.get("/api/v1/own", params=ids, headers={"Authorization": given} if given else {})
    problem_of(answer, 401)


@pytest.mark.parametrize("ids", ["", "1", "a" * 36 + ",", ",".join(["0" * 36] * 51)])
async def test_malformed_or_too_many_ids_are_refused(client: Client, ids: str) -> None:
    problem_of(await client.get("/api/v1/own", params={"ids": ids}, headers=headers()), 400)
