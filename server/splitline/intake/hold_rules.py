"""Reasons to hold a test, given other records; and what releases it again."""

from splitline.checking import duplicates, outliers
from splitline.chemistry.budget import Figures
from splitline.errors import Problem
from splitline.intake.checked_record import CheckedRecord
from splitline.intake.comparison import reading_of
from splitline.intake.working_set import WorkingSet, reading_in
from splitline.records import Test
from splitline.store.rows import TestRow, without


def reasons(work: WorkingSet, arrival: CheckedRecord, test: Test, region: str) -> tuple[Problem, ...]:
    """Return the reasons to hold a new test; empty if it counts."""
    assert arrival.figures is not None, "a test without problems has figures"
    found = (
        duplicates.twin_runs(test, arrival.twin_key, work.readings[arrival.contributor]),
        duplicates.twin_photo(test, work.pictures),
        duplicates.twin_picture(test, work.alike, work.pictures),
        _out_of_line(work, arrival.contributor, test, arrival.figures, region),
    )
    return tuple(filter(None, found))


def confirm(work: WorkingSet, row: TestRow) -> None:
    """Release tests held as out of line that this test, by another contributor, confirms.

    Only contributors with enough weight in the region can confirm: several strangers may be one person.
    """
    others = work.comparison.doubted(row.source or "")
    if not others or row.is_withheld or row.is_duplicate or row.sampled != "pump":
        return
    if not work.comparison.counts(row.contributor, row.region):
        return
    for test, doubted in others:
        if outliers.confirms(reading_of(row), doubted):
            held = work.find(test)
            assert isinstance(held, TestRow), "it was loaded with what this group confirms"
            work.put(without(held, "out_of_line"))


def _out_of_line(work: WorkingSet, contributor: str, test: Test, figures: Figures, region: str) -> Problem | None:
    """Only samples from the pump are compared; a can or a tank may contain anything."""
    if test.sampled != "pump":
        return None
    reading = reading_in(contributor, test, figures)
    if work.comparison.is_usual(reading):
        return None
    compared = work.comparison
    farthest = compared.farthest(contributor, region)
    problem = outliers.out_of_line(reading, compared.levels(test.source, reading, region), farthest)
    confirmed = problem and any(
        outliers.confirms(reading, other) and compared.counts(other.contributor, region)
        for other in compared.confirming(test, reading)
    )
    return None if confirmed else problem
