"""The server is killed (SIGKILL) while phones send; afterwards everybody sends everything once more."""

import asyncio
from random import Random

from faults.conftest import Place, Tell
from faults.counting import counted
from faults.phones import all_send, answered, phones, records, until
from serving import served
from system import free_port

KILLS = 3


async def test_killed_while_phones_send(place: Place, tell: Tell) -> None:
    """What was answered is there at once after each kill; in the end every record is there exactly once."""
    random, senders, port = Random(11), phones(people=4, batches=24, size=4), free_port()
    url = f"http://127.0.0.1:{port}"
    options = (*place.options, "--port", str(port))
    sending = asyncio.create_task(all_send(senders, lambda: url))
    for _ in range(KILLS):
        with served(place.folder, *options) as server:
            goal = answered(senders) + 4 + random.randrange(12)
            await until(lambda goal=goal: answered(senders) >= goal or sending.done())  # type: ignore[misc]
            await asyncio.sleep(random.random() * 0.02)
            server.process.kill()
    assert not sending.done(), "the phones were done before the last kill; nothing was interrupted"
    assert sum(phone.failures for phone in senders) > 0
    with served(place.folder, *options):
        promised = [record for phone in senders for batch in phone.batches[: phone.answered] for record in batch]
        found = await asyncio.to_thread(counted, url, promised)
        assert found.lost == 0, "something answered was not on the disk"
        await sending
        for phone in senders:
            phone.statuses.clear()
        await all_send(senders, lambda: url)
        assert {status for phone in senders for status in phone.statuses} == {"known"}
        tell("killed while phones send", place.engine, await asyncio.to_thread(counted, url, records(senders)))
