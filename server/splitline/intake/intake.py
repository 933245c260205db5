"""Accepts batches. Waiting batches are written in one transaction, so that they share one commit.

Batches that arrive together are checked together, while the database writes the previous group. Each batch is decided
in order, as if it had come alone, and answered after the commit. If a group fails, its batches are retried one by one,
so that none fails because of another.
"""

import asyncio
from collections import deque
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from msgspec import Raw, Struct
from msgspec.structs import replace

from splitline.answers import Answer
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.figures import queue
from splitline.identity import Identity, SecretTaken
from splitline.intake.checked_record import Batch, CheckedRecord, Outlines, checked_records
from splitline.intake.decide import Decision
from splitline.intake.reevaluate import number
from splitline.intake.working_set import WorkingSet
from splitline.store import contributors, departures, photos, sources, tests
from splitline.store.engine import Connection, Store
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable
from splitline.store.rows import only_sources, only_tests

MOST_RECORDS = 1000
"""Records per group of batches, at most; a larger batch is written alone."""


class Waiting(Struct, frozen=True):
    """A batch whose sender is waiting for answers."""

    batch: Batch
    answers: asyncio.Future[tuple[Answer, ...]]
    checked: Sequence[CheckedRecord] = ()

    def fail(self, fault: Exception) -> None:
        """Report a fault to the sender, if still waiting."""
        if not self.answers.done():
            self.answers.set_exception(fault)


class Pictures(Protocol):
    """The store of the pictures' bytes."""

    async def sweep(self) -> None:
        """Delete pictures that no test shows any more."""


class Intake:
    """Writes batches to a store. stored: called after a write. exchange: the table contents are computed with."""

    def __init__(
        self,
        store: Store,
        outlines: Outlines,
        pictures: Pictures,
        stored: Callable[[], None] = lambda: None,
        exchange: Exchange = BUILT_IN,
    ) -> None:
        self.store = store
        self._outlines = outlines
        self._pictures = pictures
        self._stored = stored
        self._exchange = exchange
        self._arrived: list[Waiting] = []
        self._waiting: deque[Waiting] = deque()
        self._writing: asyncio.Task[None] | None = None

    async def receive(
        self,
        identity: Identity,
        items: Sequence[bytes | Raw],
        received_at: datetime,
        sent_at: datetime | None = None,
    ) -> tuple[Answer, ...]:
        """Accept the JSON texts of some records: all of them, or none if this raises.

        A bad record is refused without affecting the others; resending changes nothing. sent_at: by the device's clock.
        Raises `StoreUnavailable`, and `SecretTaken` when another secret already has this contributor's id.
        """
        loop = asyncio.get_running_loop()
        waiting = Waiting(Batch(identity, items, received_at, sent_at), loop.create_future())
        self._arrived.append(waiting)
        if len(self._arrived) == 1:
            # Not in the sender's task: if that is cancelled, the others still get their answers.
            loop.call_soon(self._check_arrived)
        return await waiting.answers

    def _check_arrived(self) -> None:
        """Check what has arrived and schedule the write. A thread would not help: both would share the interpreter."""
        arrived, self._arrived = self._arrived, []
        try:
            self._waiting += self._checked(arrived)
        except Exception:
            for one in arrived:
                try:
                    self._waiting += self._checked([one])
                except Exception as fault:
                    one.fail(fault)
        if self._writing is None or self._writing.done():
            self._writing = asyncio.create_task(self._write_waiting())

    def _checked(self, arrived: Sequence[Waiting]) -> list[Waiting]:
        checked = checked_records([one.batch for one in arrived], self._outlines, self._exchange)
        return [replace(one, checked=its) for one, its in zip(arrived, checked, strict=True)]

    async def _write_waiting(self) -> None:
        """Write group after group until no batch is waiting."""
        while self._waiting:
            group = self._next_group()
            try:
                if group:
                    await self._write(group)
            except (StoreUnavailable, StoreFull, StoreDamaged) as fault:
                # Batches that came since would wait as long again, and phones would give up first.
                for one in (*group, *self._waiting):
                    one.fail(fault)
                self._waiting.clear()
            except Exception as fault:
                if len(group) == 1:
                    group[0].fail(fault)
                for one in group if len(group) > 1 else ():
                    await self._write_alone(one)

    def _next_group(self) -> list[Waiting]:
        group, records = [self._waiting.popleft()], 0
        while self._waiting:
            records += len(group[-1].checked)
            if records + len(self._waiting[0].checked) > MOST_RECORDS:
                break
            group.append(self._waiting.popleft())
        return [one for one in group if not one.answers.done()]

    async def _write_alone(self, one: Waiting) -> None:
        try:
            await self._write([one])
        except Exception as fault:
            one.fail(fault)

    async def _write(self, group: Sequence[Waiting]) -> None:
        """Write some batches in one transaction, and answer them."""
        senders, now = [one.batch.identity for one in group], group[0].batch.received_at
        async with self.store.write() as connection:
            taken = await contributors.known(connection, senders)
            strangers = contributors.strangers(senders, taken)
            known = [() if one.batch.identity in strangers else one.checked for one in group]
            work = WorkingSet()
            await work.load(connection, [record for checked in known for record in checked])
            answers = [tuple(Decision(work, record).answer() for record in checked) for checked in known]
            changing = {row.contributor for row in work.changed()}
            who = {sender for sender in senders if sender.id in changing} - strangers
            await contributors.admit(connection, who, taken, now)
            leaving = await put(connection, work, now)
        for one, found in zip(group, answers, strict=True):
            if one.batch.identity in strangers:
                one.fail(SecretTaken())
            elif not one.answers.done():
                one.answers.set_result(found)
        self._stored()
        if leaving:
            await self._pictures.sweep()


async def put(connection: Connection, work: WorkingSet, now: datetime) -> int:
    """Write the group's changes and queue stale figures; return the number of pictures to delete."""
    if not work.changed():
        return 0
    await work.follow_sources(connection)
    rows = await number(connection, work.changed(), work.read, work.digests)
    test_rows = only_tests(rows)
    replaced = work.of_other_kind()
    await sources.drop(connection, [row.id for row in only_sources(replaced)])
    await tests.drop(connection, [row.id for row in only_tests(replaced)])
    await photos.show(connection, [(row.id, row.region, ()) for row in only_tests(replaced)])
    await sources.put(connection, only_sources(rows), work.before)
    await tests.put(connection, test_rows, work.before)
    await photos.show(connection, work.pictures_shown(test_rows))
    await departures.note(connection, work.departures())
    earlier = [work.before[row.id] for row in rows if row.id in work.before]
    await queue.note(connection, earlier, rows, now)
    return await photos.dismiss(connection, work.pictures_dropped())
