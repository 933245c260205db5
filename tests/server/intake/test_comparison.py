"""What a new reading is compared with."""

from datetime import UTC, datetime

from msgspec import convert

from helpers.examples import reading
from splitline import records
from splitline.intake.comparison import Comparison, reading_of
from splitline.store import rows

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def row_of(test: records.Test, content: float) -> rows.TestRow:
    return rows.TestRow(
        region="FR-15",
        id=test.id,
        contributor="0" * 16,
        revision=1,
        sequence=0,
        received_at=NOW,
        retracted=False,
        state="counted",
        source=test.source,
        sampled="pump",
        day=rows.day_of(test.sampled_at),
        content=content,
        expanded_uncertainty=2.0,
    )


def test_a_reading_is_not_compared_with_what_the_same_person_read_that_day() -> None:
    """The earlier reading may be a former revision of the same test."""
    comparison = Comparison()
    tests = [convert(reading(24 * number, at=1), records.Test) for number in range(5)]
    stored = [row_of(test, 80.0 + number) for number, test in enumerate(tests)]
    for row in stored:
        comparison.put(row)
    of_region, at_source = comparison.levels(tests[4].source, reading_of(stored[4]), "FR-15")
    assert of_region is None
    assert at_source
    assert (at_source.count, at_source.centre) == (4, 81.5)
    assert [one.content for one in comparison.confirming(tests[4], reading_of(stored[4]))] == [80.0, 81.0, 82.0, 83.0]
