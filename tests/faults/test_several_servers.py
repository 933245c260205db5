"""Two servers with two workers each on one PostgreSQL: the same records arrive at all of them at the same time."""

import asyncio
from itertools import cycle

import pytest

from faults.conftest import Place, Tell
from faults.counting import counted, pulled
from faults.phones import all_send, phones, records
from helpers.server_process import served


@pytest.mark.parametrize("place", ["postgresql"], indirect=True)
async def test_two_servers_with_two_workers_store_each_record_once(place: Place, tell: Tell) -> None:
    """Everyone has a second phone with the same secret that sends the same records to the other server."""
    senders, doubles = phones(people=4, batches=10, size=5), phones(people=4, batches=10, size=5)
    options = ("--database", place.url, "--workers", "2")
    with served(place.folder / "a", *options) as one, served(place.folder / "b", *options) as two:
        left, right = cycle([one.url, two.url]), cycle([two.url, one.url])
        following = asyncio.create_task(asyncio.to_thread(pulled, two.url))
        await asyncio.gather(all_send(senders, lambda: next(left)), all_send(doubles, lambda: next(right)))
        await following
        statuses = [status for phone in (*senders, *doubles) for status in phone.statuses]
        assert len(statuses) == 2 * len(records(senders))
        assert statuses.count("stored") == len(records(senders)), "something was stored twice, or not at all"
        changes = await asyncio.to_thread(pulled, one.url)
        assert changes == await asyncio.to_thread(pulled, two.url)
        assert [change["sequence"] for change in changes] == list(range(1, len(changes) + 1))
        tell(
            "two servers with two workers each",
            place.engine,
            await asyncio.to_thread(counted, one.url, records(senders)),
        )
