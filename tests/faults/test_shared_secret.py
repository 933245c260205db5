"""Two phones with one secret: both send and revise the same tests at the same time."""

import asyncio
import re

from faults.conftest import Place, Tell
from faults.counting import counted, pulled
from faults.phones import phones, push
from helpers.examples import Json, reading, source
from helpers.server_process import served

EDITS = 4
SHARED = 3


async def insist(url: str, test: Json, note: str) -> int:
    """Save a note on a test, retrying with the next revision if the other phone was faster; return the revision."""
    revision = 2
    while True:
        [answer] = (await push(url, [{**test, "revision": revision, "note": note}])).json()["answers"]
        if answer["status"] == "replaced":
            return revision
        # A lower revision than the stored one is answered as known.
        assert answer["status"] in ("refused", "known"), answer
        if answer["status"] == "known":
            revision += 1
            continue
        [problem] = answer["problems"]
        assert problem["code"] == "conflict"
        revision = int(re.findall(r"\d+", problem["limit"])[0])


async def test_two_phones_with_one_secret_share_one_sequence_of_revisions(place: Place, tell: Tell) -> None:
    """No revision is used by both, and everyone sees the last one."""
    station, tests = source(1), [reading(n, at=1) for n in range(SHARED)]
    own = [phone.batches for phone in phones(people=2, batches=4, size=4)]
    with served(place.folder, *place.options) as server:
        assert (await push(server.url, [station, *tests])).status_code == 200

        async def phone(name: str, batches: list[list[Json]]) -> list[tuple[str, int, str]]:
            made = []
            for edit in range(EDITS):
                for test in tests:
                    note = f"{name} {edit}"
                    made.append((str(test["id"]), await insist(server.url, test, note), note))
                if edit < len(batches):
                    assert (await push(server.url, batches[edit])).status_code == 200
            return made

        left, right = await asyncio.gather(phone("left", own[0]), phone("right", own[1]))
        edits = [*left, *right]
        assert len({(test, revision) for test, revision, _ in edits}) == len(edits) == 2 * EDITS * SHARED
        there = {change["id"]: change for change in pulled(server.url)}
        last = {test: max((revision, note) for one, revision, note in edits if one == test) for test, _, _ in edits}
        assert {test: (there[test]["revision"], there[test]["record"]["note"]) for test in last} == last
        revised = [{**test, "revision": last[test["id"]][0]} for test in tests]
        sent = [station, *revised, *(record for batches in own for batch in batches for record in batch)]
        tell("two phones with one secret", place.engine, counted(server.url, sent))
