"""What the server knows about tubes, returned only to their owner."""

from datetime import UTC, datetime

import pytest

from helpers.api_client import Client, headers, problem_of, push
from helpers.examples import identifier, reading, source

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
PLACES = 3


async def overlap(client: Client) -> None:
    """Two people at the same three sources; the second one's tube reads six millilitres lower."""
    await push(client, *(source(n) for n in range(1, PLACES + 1)))
    for who, line in ((1, 88.0), (2, 82.0)):
        tests = [
            reading(
                100 * who + 10 * place + n,
                at=place,
                tube={
                    "id": identifier(900 + who),
                    "scale": "volume",
                    "graduation": 1.0,
                    "liquid": "water",
                    "tolerance": None,
                },
                sampled_at=f"2026-03-{3 * n + who:02d}T08:00:00Z",
                tested_at=f"2026-03-{3 * n + who:02d}T08:30:00Z",
                runs=[{"water": 50.0, "fuel": 50.0, "line": line + 0.1 * n + 0.01 * place}],
            )
            for place in range(1, PLACES + 1)
            for n in range(4)
        ]
        answers = (await push(client, *tests, who=who))["answers"]
        assert {answer["status"] for answer in answers} <= {"stored", "held"}, answers[0]


async def tubes_of(client: Client, who: int) -> list[dict[str, object]]:
    answer = await client.get("/api/v1/tubes", headers=headers(who))
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    return list(answer.json()["tubes"])


async def test_everyone_sees_only_their_own_tubes(client: Client) -> None:
    await overlap(client)
    (mine,) = await tubes_of(client, 1)
    (theirs,) = await tubes_of(client, 2)
    assert (mine["tube"], theirs["tube"]) == (identifier(901), identifier(902))
    assert float(str(mine["offset"])) > 0 > float(str(theirs["offset"]))
    assert mine["sources"] == PLACES
    assert mine["region"] == "FR-63"
    assert await tubes_of(client, 3) == []


@pytest.mark.parametrize("given", [None, "Bearer abc"])
async def test_without_a_secret_the_request_is_refused(client: Client, given: str | None) -> None:
    answer = await client.get("/api/v1/tubes", headers={"Authorization": given} if given else {})
    problem_of(answer, 401)


async def test_query_parameters_are_refused(client: Client) -> None:
    problem_of(await client.get("/api/v1/tubes?contributor=00112233445566ff", headers=headers()), 400)
