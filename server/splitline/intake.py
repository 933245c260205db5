"""One batch in, one answer per record out: the only place where order matters. Everybody's data enters here."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import datetime
from operator import attrgetter

from msgspec import Raw

from splitline import holding, rejudging, summaries
from splitline.answers import Answer, Status, told
from splitline.arrival import Arrival, Outlines, arrivals
from splitline.checking import places
from splitline.chemistry.budget import Figures
from splitline.errors import Problem
from splitline.identity import Identity, SecretTaken
from splitline.ledger import Ledger, record_of
from splitline.neighbourhood import place_of
from splitline.photos import Photos
from splitline.position import band_of
from splitline.records import Retraction, Source, Test
from splitline.store import contributors, departures, photos, sources, tests
from splitline.store.engine import Connection, Store
from splitline.store.rows import (
    RELEASED_TWIN,
    WITHHELD,
    Row,
    SourceRow,
    State,
    TestRow,
    month_of,
    only_sources,
    only_tests,
)

# Where a record is noted that was taken back before it ever arrived; a code ISO 3166 leaves to its users.
NOWHERE = "ZZ"
CODE = attrgetter("code")


class Intake:
    """Takes batches into a store."""

    def __init__(self, store: Store, outlines: Outlines, pictures: Photos) -> None:
        self.store = store
        self._outlines = outlines
        self._pictures = pictures
        # Batches are checked one at a time: checked together they only take each other's turns at Python's lock.
        self._checking = asyncio.Lock()

    async def receive(
        self,
        identity: Identity,
        items: Sequence[bytes | Raw],
        received_at: datetime,
        sent_at: datetime | None = None,
    ) -> tuple[Answer, ...]:
        """Take the JSON texts of some records, in one transaction.

        A bad record is refused and spoils nothing; sending again changes nothing. sent_at: by the device's clock.
        Raises `StoreUnavailable`, and `SecretTaken` when another secret already has this contributor's id; then
        nothing is stored.
        """
        async with self._checking:
            arrived = await asyncio.to_thread(arrivals, items, self._outlines, received_at, sent_at)
        async with self.store.write() as connection:
            ledger = Ledger(identity.id)
            await ledger.load(connection, arrived)
            answers = tuple(_Decision(ledger, arrival, received_at).answer() for arrival in arrived)
            leaving = await _write(connection, ledger, identity, received_at)
        if leaving:
            await self._pictures.sweep()
        return answers


async def _write(connection: Connection, ledger: Ledger, identity: Identity, now: datetime) -> int:
    """Write what the batch changed, number it, and compute the figures; return how many pictures leave."""
    if not ledger.changed():
        return 0
    if not await contributors.admit(connection, identity, now):
        raise SecretTaken
    unsettled = await ledger.follow_sources(connection)
    rows = await rejudging.number(connection, ledger.changed())
    test_rows = only_tests(rows)
    earlier = [ledger.before[row.id] for row in rows if row.id in ledger.before]
    async with summaries.following(connection, [*earlier, *unsettled], rows, now):
        await sources.put(connection, only_sources(rows), ledger.before)
        await tests.put(connection, test_rows, ledger.before)
        await photos.show(connection, ledger.pictures_shown(test_rows))
        await departures.note(connection, ledger.departures())
    return await photos.dismiss(connection, ledger.pictures_dropped())


class _Decision:
    """What becomes of one record, given the ledger as its predecessors left it."""

    def __init__(self, ledger: Ledger, arrival: Arrival, received_at: datetime) -> None:
        self._ledger = ledger
        self._arrival = arrival
        self._received_at = received_at

    def answer(self) -> Answer:
        """Decide, and put what is decided into the ledger."""
        record = self._arrival.form.record
        if record is None:
            return self._refused(*self._arrival.form.problems)
        stored = self._ledger.find(record.id)
        if stored:
            settled = self._settled(stored, record)
            if settled:
                return settled
        if isinstance(record, Retraction):
            return self._retract(record, stored)
        if self._arrival.problems:
            return self._refused(*self._arrival.problems)
        return self._source(record, stored) if isinstance(record, Source) else self._test(record, stored)

    def _settled(self, stored: Row, record: Source | Test | Retraction) -> Answer | None:
        """The answer when what is stored already decides; None when the record is newer."""
        if stored.contributor != self._ledger.contributor:
            return self._refused(Problem("not_yours", "id", record.id))
        if isinstance(stored, SourceRow) != (record.kind == "source"):
            return self._refused(Problem("kind_differs", "kind", record.kind))
        newer = record.revision > stored.revision
        if stored.retracted:
            repeated = isinstance(record, Retraction) or not newer
            return self._known(stored) if repeated else self._refused(Problem("retracted", "revision"))
        if newer:
            return None
        if isinstance(record, Retraction):
            return self._conflict(stored, record)
        if record.revision == stored.revision and record != record_of(stored):
            return self._conflict(stored, record)
        return self._known(stored)

    def _retract(self, record: Retraction, stored: Row | None) -> Answer:
        if record.id in self._ledger.used_by_others:
            return self._refused(Problem("source_in_use", "id", record.id))
        row_type = SourceRow if record.kind == "source" else TestRow
        row = row_type(
            region=stored.region if stored else NOWHERE,
            id=record.id,
            contributor=self._ledger.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._received_at,
            clock_skew=self._arrival.clock_skew,
            retracted=True,
            state="withheld",
        )
        self._ledger.put(row)
        return self._kept(row, stored)

    def _source(self, record: Source, stored: Row | None) -> Answer:
        similar = self._similar(record)
        withheld = self._withheld(stored)
        remarks = (*withheld, *self._arrival.flags, *([similar] if similar else []))
        into = stored.into if isinstance(stored, SourceRow) else None
        row = SourceRow(
            region=self._arrival.region or NOWHERE,
            id=record.id,
            contributor=self._ledger.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._received_at,
            clock_skew=self._arrival.clock_skew,
            retracted=False,
            state="withheld" if withheld else "merged" if into else "counted",
            flags=tuple(map(CODE, remarks)),
            record=self._arrival.text,
            latitude=record.latitude,
            longitude=record.longitude,
            into=into,
            band=band_of(record.latitude),
        )
        self._ledger.put(row)
        return self._kept(row, stored, *remarks)

    def _test(self, record: Test, stored: Row | None) -> Answer:
        source = self._ledger.find(record.source)
        if not isinstance(source, SourceRow):
            return self._refused(Problem("source_unknown", "source", record.source))
        if source.retracted:
            return self._refused(Problem("source_retracted", "source", record.source))
        figures = self._arrival.figures
        assert figures is not None, "a test without problems has figures"
        reasons = holding.reasons(self._ledger, self._arrival, record, source.region)
        withheld = self._withheld(stored)
        remarks = (*withheld, *reasons, *self._arrival.flags)
        state: State = "withheld" if withheld else "held" if reasons else "counted"
        row = self._test_row(record, figures, source.region, state, remarks)
        self._ledger.put(row)
        holding.confirm(self._ledger, row)
        return self._kept(row, stored, *remarks)

    def _test_row(
        self, record: Test, figures: Figures, region: str, state: State, remarks: Sequence[Problem]
    ) -> TestRow:
        return TestRow(
            region=region,
            id=record.id,
            contributor=self._ledger.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._received_at,
            clock_skew=self._arrival.clock_skew,
            retracted=False,
            state=state,
            flags=tuple(map(CODE, remarks)),
            record=self._arrival.text,
            source=record.source,
            sampled=record.sampled,
            sampled_at=record.sampled_at,
            month=month_of(record.sampled_at),
            twin_key=self._arrival.twin_key,
            tube=record.tube.id,
            content=figures.content,
            expanded_uncertainty=figures.expanded_uncertainty,
            own_uncertainty=figures.own_uncertainty,
            shared_uncertainty=figures.shared_uncertainty,
            coverage_factor=figures.coverage_factor,
        )

    def _kept(self, row: Row, stored: Row | None, *remarks: Problem) -> Answer:
        status: Status = "held" if _waits(row) else "replaced" if stored else "stored"
        return self._of(row, status, remarks)

    def _known(self, stored: Row) -> Answer:
        """Nothing to do; a held record says again why it is held."""
        status: Status = "held" if _waits(stored) else "known"
        return self._of(stored, status, [self._again(code) for code in stored.flags])

    def _withheld(self, stored: Row | None) -> tuple[Problem, ...]:
        """What a moderator took out stays out, whatever revision comes."""
        return (self._again(WITHHELD),) if stored and stored.is_withheld else ()

    def _again(self, code: str) -> Problem:
        """A flag as a remark; the other source is named again, it may be another by now."""
        record = self._arrival.form.record
        if code == WITHHELD and record:
            return Problem("withheld", "", self._ledger.why_withheld.get(record.id, ""))
        if code == RELEASED_TWIN:
            return Problem("released_twin")
        similar = self._similar(record) if code == "similar_source" and isinstance(record, Source) else None
        return similar or Problem(code)

    def _similar(self, source: Source) -> Problem | None:
        return places.similar_source(place_of(source), self._ledger.neighbourhood.around(source))

    def _conflict(self, stored: Row, record: Source | Test | Retraction) -> Answer:
        return self._refused(Problem("conflict", "revision", str(record.revision), f">= {stored.revision + 1}"))

    def _of(self, row: Row, status: Status, remarks: Sequence[Problem]) -> Answer:
        read = self._arrival.form
        return Answer(
            id=read.id,
            kind=read.kind,
            revision=read.revision,
            status=status,
            problems=told(remarks),
            content=row.content if isinstance(row, TestRow) else None,
            expanded_uncertainty=row.expanded_uncertainty if isinstance(row, TestRow) else None,
            region=None if row.region == NOWHERE else row.region,
        )

    def _refused(self, *problems: Problem) -> Answer:
        read = self._arrival.form
        return Answer(id=read.id, kind=read.kind, revision=read.revision, status="refused", problems=told(problems))


def _waits(row: Row) -> bool:
    """Whether a record is kept and does not count."""
    return row.state == "held" or row.is_withheld
