"""Phones as the app makes them: oldest batch first, and again after every failure until each record is answered."""

import asyncio
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from time import monotonic

import httpx

from helpers.api_client import headers
from helpers.examples import Json, reading, source

TAKEN = ("stored", "known", "replaced", "held")
# Status codes after which a phone tries again.
LATER = (429, 503, 507)
IMPATIENCE = 0.05
"""How long a phone of the tests waits after a failure, s."""
PATIENCE = 180.0
"""Seconds to wait for a condition, enough for a busy machine."""
Batch = list[Json]


@dataclass
class Phone:
    """A phone with batches to send. answered: how many were answered; failures: how often a batch got no answer."""

    number: int
    batches: list[Batch]
    answered: int = 0
    failures: int = 0
    statuses: list[str] = field(default_factory=list)

    @property
    def records(self) -> Iterator[Json]:
        """Everything this phone has to send."""
        return (record for batch in self.batches for record in batch)

    async def send(self, address: Callable[[], str]) -> None:
        """Send all batches; address: returns the server's current address."""
        async with httpx.AsyncClient(timeout=60, verify=False) as client:
            for batch in self.batches:
                while not await self._sent(client, address(), batch):
                    self.failures += 1
                    await asyncio.sleep(IMPATIENCE)
                self.answered += 1

    async def _sent(self, client: httpx.AsyncClient, url: str, batch: Batch) -> bool:
        """Send a batch once; return whether it was answered."""
        try:
            answer = await client.post(f"{url}/api/v1/push", json={"records": batch}, headers=headers(self.number))
        except httpx.TransportError:
            return False
        if answer.status_code in LATER:
            return False
        assert answer.status_code == 200, answer.text
        statuses = [entry["status"] for entry in answer.json()["answers"]]
        assert set(statuses) <= set(TAKEN), answer.text
        self.statuses += statuses
        return True


async def until(done: Callable[[], bool]) -> None:
    """Wait until a condition holds that other processes bring about."""
    end = monotonic() + PATIENCE
    while not done():
        assert monotonic() < end, "it did not come about"
        await asyncio.sleep(0.01)


def answered(senders: list[Phone]) -> int:
    """How many batches were answered."""
    return sum(phone.answered for phone in senders)


def phones(people: int, batches: int, size: int) -> list[Phone]:
    """Some people, each with their own source and tests in batches; the source comes first."""
    return [Phone(number, _batches(1000 * number, batches, size)) for number in range(1, people + 1)]


def _batches(first: int, batches: int, size: int) -> list[Batch]:
    made = [[reading(first + size * index + n, at=first) for n in range(size)] for index in range(batches)]
    made[0].insert(0, source(first, name=f"Station {first}"))
    return made


async def all_send(senders: list[Phone], address: Callable[[], str]) -> None:
    """Let all phones send concurrently."""
    await asyncio.gather(*(phone.send(address) for phone in senders))


def records(senders: list[Phone]) -> list[Json]:
    """All records of all phones."""
    return [record for phone in senders for record in phone.records]


async def push(url: str, batch: Batch, who: int = 1, **more: object) -> httpx.Response:
    """Push a batch once and return the response."""
    async with httpx.AsyncClient(timeout=60, verify=False) as client:
        return await client.post(f"{url}/api/v1/push", json={"records": batch, **more}, headers=headers(who))


async def get(url: str, **query: str) -> httpx.Response:
    """GET once and return the response."""
    async with httpx.AsyncClient(timeout=60, verify=False) as client:
        return await client.get(url, params=query)
