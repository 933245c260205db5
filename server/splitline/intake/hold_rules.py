"""Why a test is kept and not counted, given what else is known; and what makes it count after all."""

from splitline.checking import duplicates, outliers
from splitline.chemistry.budget import Figures
from splitline.errors import Problem
from splitline.intake.checked_record import CheckedRecord
from splitline.intake.comparison import reading_of
from splitline.intake.working_set import WorkingSet, reading_in
from splitline.records import Test
from splitline.store.rows import TestRow, without


def reasons(work: WorkingSet, arrival: CheckedRecord, test: Test, region: str) -> tuple[Problem, ...]:
    """Return why a new test, as it arrived, is to be held; nothing when it counts."""
    assert arrival.figures is not None, "a test without problems has figures"
    found = (
        duplicates.twin_runs(test, arrival.twin_key, work.readings[arrival.contributor]),
        duplicates.twin_photo(test, work.pictures),
        duplicates.twin_picture(test, work.alike, work.pictures),
        _out_of_line(work, arrival.contributor, test, arrival.figures, region),
    )
    return tuple(filter(None, found))


def confirm(work: WorkingSet, row: TestRow) -> None:
    """Let those tests count that were held as out of line until somebody else read the same, as this test does.

    Only what somebody reads who counts for something in the region confirms: strangers may be one person.
    """
    others = work.comparison.doubted(row.source or "")
    if not others or row.is_withheld or row.is_duplicate or row.sampled != "pump":
        return
    if not work.comparison.counts(row.contributor, row.region):
        return
    for doubted in others:
        if outliers.confirms(reading_of(row), reading_of(doubted)):
            work.put(without(doubted, "out_of_line"))


def _out_of_line(work: WorkingSet, contributor: str, test: Test, figures: Figures, region: str) -> Problem | None:
    """Only what comes from the pump tells of the source; a can or a tank may hold anything."""
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
