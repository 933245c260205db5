"""`splitline backup` while phones send, and its restore; across the databases."""

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest

from faults.conftest import Place, Tell
from faults.counting import counted, pulled
from faults.phones import all_send, answered, get, phones, records, until
from helpers.api_client import problem_of
from helpers.command import splitline
from helpers.server_process import served


@pytest.mark.parametrize("into", ["sqlite", "postgresql"])
async def test_a_backup_under_load_has_whole_batches_and_everything_answered_before(
    place: Place, into: str, new_database: Callable[[str], str], tmp_path: Path, tell: Tell
) -> None:
    """The backup has whole batches, all that were answered before it began, and for each phone its first ones."""
    senders, file = phones(people=3, batches=240, size=4), tmp_path / "kept.zip"
    with served(place.folder, *place.options) as server:
        sending = asyncio.create_task(all_send(senders, lambda: server.url))
        await until(lambda: answered(senders) >= 6)
        before = {record["id"] for phone in senders for batch in phone.batches[: phone.answered] for record in batch}
        made = await asyncio.to_thread(splitline, "backup", str(file), "--data", str(place.folder), *place.options)
        assert (made.returncode, made.stderr) == (0, "")
        assert not sending.done(), "nobody was sending any more when the backup was done"
        for phone in senders:
            # Let requests in progress finish; the rest was only there in case the backup is slow.
            del phone.batches[phone.answered + 5 :]
        await sending
        assert sum(phone.failures for phone in senders) == 0, "somebody had to wait for the backup"
        cursor = (await get(f"{server.url}/api/v1/pull")).json()["cursor"]
    options = () if into == "sqlite" else ("--database", new_database(""))
    back = await asyncio.to_thread(splitline, "restore", str(file), "--data", str(tmp_path / "new"), *options)
    assert (back.returncode, back.stderr) == (0, "")
    with served(tmp_path / "new", *options) as server:
        there = {change["id"] for change in await asyncio.to_thread(pulled, server.url)}
        assert before <= there, "what was answered before is not in the backup"
        for phone in senders:
            whole = [{record["id"] for record in batch} <= there for batch in phone.batches]
            assert sorted(whole, reverse=True) == whole, "a later batch is there without an earlier one"
            partly = [any(record["id"] in there for record in batch) for batch in phone.batches]
            assert partly == whole, "half a batch is there"
        again = await get(f"{server.url}/api/v1/pull", cursor=cursor)
        assert problem_of(again, 410)["code"] == "cursor_expired"
        await all_send(senders, lambda: server.url)
        found = await asyncio.to_thread(counted, server.url, records(senders))
        tell(f"backup under load, restored into {into}", place.engine, found)
