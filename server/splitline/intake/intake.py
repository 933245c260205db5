"""Takes batches in. Those that wait are checked and written together, so that one trip to the disk does for them all.

Each is decided in its order, as if it had come alone, and answered when everything is on the disk. If a group fails,
its batches are tried one by one, so that none fails for another.
"""

import asyncio
from collections import deque
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from msgspec import Raw

from splitline.answers import Answer
from splitline.figures import queue
from splitline.identity import Identity, SecretTaken
from splitline.intake.checked_record import Batch, Outlines, checked_records
from splitline.intake.decide import Decision
from splitline.intake.reevaluate import number
from splitline.intake.working_set import WorkingSet
from splitline.store import contributors, departures, photos, sources, tests
from splitline.store.engine import Connection, Store
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable
from splitline.store.rows import only_sources, only_tests

MOST_RECORDS = 1000
"""Of the batches that are written together; a larger one goes alone."""
Answers = tuple[Answer, ...]
Waiting = tuple[Batch, asyncio.Future[Answers]]


class Pictures(Protocol):
    """Where the bytes of pictures are."""

    async def sweep(self) -> None:
        """Delete those that no test shows any more."""


class Intake:
    """Takes batches into a store. stored: called after something was."""

    def __init__(
        self, store: Store, outlines: Outlines, pictures: Pictures, stored: Callable[[], None] = lambda: None
    ) -> None:
        self.store = store
        self._outlines = outlines
        self._pictures = pictures
        self._stored = stored
        self._waiting: deque[Waiting] = deque()
        self._writing: asyncio.Task[None] | None = None

    async def receive(
        self,
        identity: Identity,
        items: Sequence[bytes | Raw],
        received_at: datetime,
        sent_at: datetime | None = None,
    ) -> tuple[Answer, ...]:
        """Take the JSON texts of some records: all of them, or none where this raises.

        A bad record is refused and spoils nothing; sending again changes nothing. sent_at: by the device's clock.
        Raises `StoreUnavailable`, and `SecretTaken` when another secret already has this contributor's id.
        """
        answers: asyncio.Future[Answers] = asyncio.get_running_loop().create_future()
        self._waiting.append((Batch(identity, items, received_at, sent_at), answers))
        if self._writing is None or self._writing.done():
            # Not in the task of whoever sent this: if they go away, the others in the group still get their answers.
            self._writing = asyncio.create_task(self._write_waiting())
        return await answers

    async def _write_waiting(self) -> None:
        """Group after group, until nobody waits."""
        while self._waiting:
            group = self._next_group()
            try:
                await self._write(group)
            except (StoreUnavailable, StoreFull, StoreDamaged) as fault:
                # Whoever came since would wait as long again: a phone had given up by then.
                _fail([*group, *self._waiting], fault)
                self._waiting.clear()
            except Exception as fault:
                if len(group) == 1:
                    _fail(group, fault)
                for one in group if len(group) > 1 else ():
                    await self._write_alone(one)

    def _next_group(self) -> list[Waiting]:
        group, records = [self._waiting.popleft()], 0
        while self._waiting:
            records += len(group[-1][0].items)
            if records + len(self._waiting[0][0].items) > MOST_RECORDS:
                break
            group.append(self._waiting.popleft())
        return [one for one in group if not one[1].done()]

    async def _write_alone(self, one: Waiting) -> None:
        try:
            await self._write([one])
        except Exception as fault:
            _fail([one], fault)

    async def _write(self, group: Sequence[Waiting]) -> None:
        """Check and write some batches in one transaction, and answer them."""
        batches = [batch for batch, _ in group]
        checked = await asyncio.to_thread(checked_records, batches, self._outlines)
        async with self.store.write() as connection:
            taken = await contributors.known(connection, [batch.identity for batch in batches])
            strangers = contributors.strangers([batch.identity for batch in batches], taken)
            known = [[] if batch.identity in strangers else one for batch, one in zip(batches, checked, strict=True)]
            work = WorkingSet()
            await work.load(connection, [record for one in known for record in one])
            answers = [tuple(Decision(work, record).answer() for record in one) for one in known]
            changing = {row.contributor for row in work.changed()}
            who = {batch.identity for batch in batches if batch.identity.id in changing} - strangers
            await contributors.admit(connection, who, taken, batches[0].received_at)
            leaving = await _put(connection, work, batches[0].received_at)
        for (batch, waits), found in zip(group, answers, strict=True):
            if waits.done():
                continue
            if batch.identity in strangers:
                waits.set_exception(SecretTaken())
            else:
                waits.set_result(found)
        self._stored()
        if leaving:
            await self._pictures.sweep()


async def _put(connection: Connection, work: WorkingSet, now: datetime) -> int:
    """Write what the group changed, and note what is to be computed again; return how many pictures leave."""
    if not work.changed():
        return 0
    await work.follow_sources(connection)
    rows = await number(connection, work.changed())
    test_rows = only_tests(rows)
    await sources.put(connection, only_sources(rows), work.before)
    await tests.put(connection, test_rows, work.before)
    await photos.show(connection, work.pictures_shown(test_rows))
    await departures.note(connection, work.departures())
    earlier = [work.before[row.id] for row in rows if row.id in work.before]
    await queue.note(connection, earlier, rows, now)
    return await photos.dismiss(connection, work.pictures_dropped())


def _fail(group: Sequence[Waiting], fault: Exception) -> None:
    for _, waits in group:
        if not waits.done():
            waits.set_exception(fault)
