"""Decides what happens to each record: the only place where order matters."""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter

from splitline.answers import Answer, Status, reports
from splitline.checking import places
from splitline.chemistry.budget import MODEL, Figures
from splitline.errors import Problem
from splitline.intake import hold_rules, ownership
from splitline.intake.checked_record import CheckedRecord
from splitline.intake.nearby import place_of
from splitline.intake.working_set import WorkingSet, record_of
from splitline.position import band_of
from splitline.public import noon_of
from splitline.records import Retraction, Source, Test
from splitline.store.rows import (
    ALL_WITHHELD,
    CHANGE_REFUSED,
    RELEASED_DUPLICATE,
    WITHHELD,
    Row,
    SourceRow,
    State,
    TestRow,
    day_of,
    month_of,
)

# Region of a record that was retracted before it ever arrived; ISO 3166 reserves this code for private use.
NOWHERE = "ZZ"
CODE = attrgetter("code")


class Decision:
    """The decision on one record, given the working set after its predecessors."""

    def __init__(self, work: WorkingSet, checked: CheckedRecord) -> None:
        self._work = work
        self._checked = checked

    def answer(self) -> Answer:
        """Decide, and write the result into the working set."""
        record = self._checked.form.record
        if record is None:
            return self._refused(*self._checked.form.problems)
        stored = self._work.find(record.id)
        if stored and self._work.is_claimed(stored, self._checked):
            # The id's owner overrides whatever somebody else stored under it.
            stored = None
        if stored:
            settled = self._settled(stored, record)
            if settled:
                return settled
        if isinstance(record, Retraction):
            return self._retract(record, stored)
        if self._checked.problems:
            return self._refused(*self._checked.problems)
        return self._source(record, stored) if isinstance(record, Source) else self._test(record, stored)

    def _settled(self, stored: Row, record: Source | Test | Retraction) -> Answer | None:
        """The answer if the stored row already settles it; None if the record is newer."""
        if stored.contributor != self._checked.contributor:
            return self._refused(Problem("not_yours", "id", record.id))
        if isinstance(stored, SourceRow) != (record.kind == "source"):
            return self._refused(Problem("kind_differs", "kind", record.kind))
        last = ownership.newest(stored)
        newer = record.revision > last.revision
        if stored.retracted:
            repeated = isinstance(record, Retraction) or not newer
            return self._known(stored) if repeated else self._refused(Problem("retracted", "revision"))
        if newer:
            return None
        if isinstance(record, Retraction):
            return self._conflict(last, record)
        if record.revision == last.revision and record != record_of(last):
            return self._conflict(last, record)
        return self._known(stored, waits=last is not stored and record.revision == last.revision)

    def _retract(self, record: Retraction, stored: Row | None) -> Answer:
        if self._work.is_used_by_others(record.id, self._checked.contributor):
            return self._refused(Problem("source_in_use", "id", record.id))
        row_type = SourceRow if record.kind == "source" else TestRow
        row = row_type(
            region=stored.region if stored else NOWHERE,
            id=record.id,
            contributor=self._checked.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._checked.received_at,
            clock_skew=self._checked.clock_skew,
            retracted=True,
            state="withheld",
        )
        self._work.put(row)
        return self._kept(row, stored)

    def _source(self, record: Source, stored: Row | None) -> Answer:
        similar = self._similar(record)
        withheld = self._withheld(stored)
        remarks = (*withheld, *self._checked.flags, *([similar] if similar else []))
        into = stored.into if isinstance(stored, SourceRow) else None
        row = SourceRow(
            region=self._checked.region or NOWHERE,
            id=record.id,
            contributor=self._checked.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._checked.received_at,
            clock_skew=self._checked.clock_skew,
            retracted=False,
            state="withheld" if withheld else "merged" if into else "counted",
            flags=tuple(map(CODE, remarks)),
            record=self._checked.text,
            latitude=record.latitude,
            longitude=record.longitude,
            into=into,
            band=band_of(record.latitude),
        )
        if isinstance(stored, SourceRow) and self._work.is_used_by_others(record.id, self._checked.contributor):
            if self._is_set_aside() or ownership.goes_too_far(row, stored):
                self._work.put(ownership.with_waiting(stored, row))
                return self._of(stored, "held", [Problem("change_waits")])
            row = ownership.settled(row, stored)
        self._work.put(row)
        return self._kept(row, stored, *remarks)

    def _test(self, record: Test, stored: Row | None) -> Answer:
        source = self._work.find(record.source)
        if not isinstance(source, SourceRow):
            return self._refused(Problem("source_unknown", "source", record.source))
        if source.retracted:
            return self._refused(Problem("source_retracted", "source", record.source))
        figures = self._checked.figures
        assert figures is not None, "a test without problems has figures"
        reasons = hold_rules.reasons(self._work, self._checked, record, source.region)
        withheld = self._withheld(stored)
        remarks = (*withheld, *reasons, *self._checked.flags)
        state: State = "withheld" if withheld else "held" if reasons else "counted"
        row = self._test_row(record, figures, source.region, state, remarks)
        self._work.put(row)
        hold_rules.confirm(self._work, row)
        return self._kept(row, stored, *remarks)

    def _test_row(
        self, record: Test, figures: Figures, region: str, state: State, remarks: Sequence[Problem]
    ) -> TestRow:
        day = noon_of(record.sampled_at)
        return TestRow(
            region=region,
            id=record.id,
            contributor=self._checked.contributor,
            revision=record.revision,
            sequence=0,
            received_at=self._checked.received_at,
            clock_skew=self._checked.clock_skew,
            retracted=False,
            state=state,
            flags=tuple(map(CODE, remarks)),
            record=self._checked.text,
            source=record.source,
            sampled=record.sampled,
            sampled_at=day,
            month=month_of(day),
            day=day_of(day),
            twin_key=self._checked.twin_key,
            tube=record.tube.id,
            content=figures.content,
            expanded_uncertainty=figures.expanded_uncertainty,
            own_uncertainty=figures.own_uncertainty,
            shared_uncertainty=figures.shared_uncertainty,
            coverage_factor=figures.coverage_factor,
            model=MODEL,
        )

    def _kept(self, row: Row, stored: Row | None, *remarks: Problem) -> Answer:
        status: Status = "held" if _waits(row) else "replaced" if stored else "stored"
        return self._of(row, status, remarks)

    def _known(self, stored: Row, waits: bool = False) -> Answer:
        """Nothing to do; for a held record or a waiting change, the answer repeats the reason."""
        status: Status = "held" if waits or _waits(stored) else "known"
        return self._of(stored, status, [self._again(code) for code in stored.flags])

    def _withheld(self, stored: Row | None) -> tuple[Problem, ...]:
        """Reasons why it stays withheld: a moderator withheld the record, in any revision, or its contributor."""
        alone = stored is not None and stored.is_withheld and WITHHELD in stored.flags
        found = (alone and self._again(WITHHELD), self._is_set_aside() and self._again(ALL_WITHHELD))
        return tuple(problem for problem in found if problem)

    def _is_set_aside(self) -> bool:
        """Whether a moderator withheld all of the sender's records."""
        return self._checked.contributor in self._work.set_aside

    def _again(self, code: str) -> Problem:
        """A flag as a remark; the other source is looked up again, since it may have changed."""
        record = self._checked.form.record
        if code == WITHHELD and record:
            return Problem("withheld", "", self._work.why.get((record.id, "withhold"), ""))
        if code == ALL_WITHHELD:
            return Problem("all_withheld", "", self._work.set_aside.get(self._checked.contributor, ""))
        if code == CHANGE_REFUSED and record:
            return Problem("change_refused", "", self._work.why.get((record.id, "refuse"), ""))
        if code == RELEASED_DUPLICATE:
            return Problem("released_twin")
        similar = self._similar(record) if code == "similar_source" and isinstance(record, Source) else None
        return similar or Problem(code)

    def _similar(self, source: Source) -> Problem | None:
        return places.similar_source(place_of(source), self._work.nearby.around(source))

    def _conflict(self, stored: Row, record: Source | Test | Retraction) -> Answer:
        return self._refused(Problem("conflict", "revision", str(record.revision), f">= {stored.revision + 1}"))

    def _of(self, row: Row, status: Status, remarks: Sequence[Problem]) -> Answer:
        read = self._checked.form
        return Answer(
            id=read.id,
            kind=read.kind,
            revision=read.revision,
            status=status,
            problems=reports(remarks),
            content=row.content if isinstance(row, TestRow) else None,
            expanded_uncertainty=row.expanded_uncertainty if isinstance(row, TestRow) else None,
            region=None if row.region == NOWHERE else row.region,
        )

    def _refused(self, *problems: Problem) -> Answer:
        read = self._checked.form
        return Answer(id=read.id, kind=read.kind, revision=read.revision, status="refused", problems=reports(problems))


def _waits(row: Row) -> bool:
    """Whether a record is stored but does not count."""
    return row.state == "held" or row.is_withheld
