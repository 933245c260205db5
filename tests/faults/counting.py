"""What a server has of the records sent to it, as any phone sees it: by pulling from the start."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

import httpx

from helpers.examples import Json


@dataclass(frozen=True)
class Count:
    """Records sent; stored: those found; lost: missing or different; doubled: found twice."""

    sent: int
    stored: int
    lost: int
    doubled: int


def pulled(url: str) -> list[Json]:
    """Every change on a server."""
    changes: list[Json] = []
    cursor, more = "", True
    with httpx.Client(base_url=url, timeout=60, verify=False) as client:
        while more:
            answer = client.get("/api/v1/pull", params={"cursor": cursor, "limit": 200})
            assert answer.status_code == 200, answer.text
            page = answer.json()
            changes += page["changes"]
            cursor, more = page["cursor"], page["more"]
    return changes


def counted(url: str, sent: Iterable[Json]) -> Count:
    """Compare the records sent with those stored, by each field sent."""
    wanted = {record["id"]: record for record in sent}
    changes = pulled(url)
    times = Counter(change["id"] for change in changes)
    there = {change["id"]: change for change in changes}
    right = [identity for identity, record in wanted.items() if is_as_sent(there.get(identity), record)]
    doubled = sum(number - 1 for number in times.values())
    return Count(len(wanted), len(wanted.keys() & there.keys()), len(wanted) - len(right), doubled)


def is_as_sent(change: Json | None, record: Json) -> bool:
    """Whether a change equals the record sent; the server's own figures are not compared."""
    if change is None or change["revision"] != record["revision"]:
        return False
    there = change["record"]
    if there is None:
        return False
    if record["kind"] == "source":
        return bool(there["name"] == record["name"])
    # The server adds missing fields of a run as null.
    said = [{name: run[name] for name in sent} for run, sent in zip(there["runs"], record["runs"], strict=True)]
    return bool(said == record["runs"])
