"""The server is killed (SIGKILL) while phones send, and once only its worker process for figures.

Afterwards everybody resends everything, and the figures equal a full recomputation.
"""

import asyncio
import os
import signal
from pathlib import Path
from random import Random

import httpx

from faults.conftest import Place, Tell
from faults.counting import counted
from faults.phones import all_send, answered, phones, records, until
from helpers.command import splitline
from helpers.server_process import served
from helpers.system import free_port
from load.calls import processes

KILLS = 3


async def test_nothing_is_lost_when_the_server_is_killed(place: Place, tell: Tell) -> None:
    """Answered records are there after each kill; in the end every record is there exactly once."""
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
    with served(place.folder, *options) as server:
        promised = [record for phone in senders for batch in phone.batches[: phone.answered] for record in batch]
        found = await asyncio.to_thread(counted, url, promised)
        assert found.lost == 0, "something answered was not on the disk"
        await until(lambda: computing(server.process.pid))
        os.kill(computing(server.process.pid)[0], signal.SIGKILL)
        await sending
        for phone in senders:
            phone.statuses.clear()
        await all_send(senders, lambda: url)
        assert {status for phone in senders for status in phone.statuses} == {"known"}
        tell("killed while phones send", place.engine, await asyncio.to_thread(counted, url, records(senders)))
        await until(lambda: "splitline_stale_keys 0\n" in httpx.get(f"{url}/metrics", timeout=60, verify=False).text)
        checked = await asyncio.to_thread(splitline, "refresh", "--check", *data_options(place))
        assert (checked.returncode, checked.stdout) == (0, "Nothing differed.\n"), checked.stderr


def computing(server: int) -> list[int]:
    """A server's child processes that compute figures."""
    named = [(one, Path(f"/proc/{one}/cmdline").read_bytes()) for one in processes(server) if one != server]
    return [one for one, command in named if b"splitline.figures.worker" in command]


def data_options(place: Place) -> tuple[str, ...]:
    """The options that point a command at the data."""
    database = [] if place.engine == "sqlite" else ["--database", place.url]
    return ("--data", str(place.folder), *database)
