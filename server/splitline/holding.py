"""Why a test is kept and not counted, given what else is known; and what makes it count after all."""

from splitline.arrival import Arrival
from splitline.checking import outliers, twins
from splitline.chemistry.budget import Figures
from splitline.errors import Problem
from splitline.ledger import Ledger
from splitline.records import Test
from splitline.store.rows import TestRow, without
from splitline.surroundings import reading_of


def reasons(ledger: Ledger, arrival: Arrival, test: Test, region: str) -> tuple[Problem, ...]:
    """Return why a new test, as it arrived, is to be held; nothing when it counts."""
    assert arrival.figures is not None, "a test without problems has figures"
    found = (
        twins.twin_runs(test, arrival.twin_key, ledger.readings),
        twins.twin_photo(test, ledger.pictures),
        twins.twin_picture(test, ledger.alike, ledger.pictures),
        _out_of_line(ledger, test, arrival.figures, region),
    )
    return tuple(filter(None, found))


def confirm(ledger: Ledger, row: TestRow) -> None:
    """Let those tests count that were held as out of line until somebody else read the same, as this test does."""
    others = ledger.surroundings.doubted(row.source or "")
    if not others or row.is_withheld or row.is_twin or row.sampled != "pump":
        return
    for doubted in others:
        if outliers.confirms(reading_of(row), reading_of(doubted)):
            ledger.put(without(doubted, "out_of_line"))


def _out_of_line(ledger: Ledger, test: Test, figures: Figures, region: str) -> Problem | None:
    """Only what comes from the pump tells of the source; a can or a tank may hold anything."""
    if test.sampled != "pump":
        return None
    reading = ledger.reading(test, figures)
    if ledger.surroundings.is_usual(reading):
        return None
    problem = outliers.out_of_line(reading, ledger.surroundings.levels(test, region))
    confirmed = problem and any(outliers.confirms(reading, other) for other in ledger.surroundings.confirming(test))
    return None if confirmed else problem
