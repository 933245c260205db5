"""What a new reading is compared with: the recent readings at its source and in its region, and those held as odd."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from datetime import datetime

from splitline.checking.outliers import RECENT, Level, Reading, level_of, pooled
from splitline.records import Test
from splitline.store import merges, recent
from splitline.store.engine import Connection
from splitline.store.recent import MonthLevelRow, ReadingRow, Span
from splitline.store.rows import TestRow


class Surroundings:
    """Readings by source, read in three queries for a whole batch and kept current as the batch goes on."""

    def __init__(self) -> None:
        # Source -> the one that stands for it; by that, test -> reading of counted tests, test -> row of doubted ones.
        self._standing: dict[str, str] = {}
        self._readings: defaultdict[str, dict[str, Reading]] = defaultdict(dict)
        self._doubted: defaultdict[str, dict[str, TestRow]] = defaultdict(dict)
        self._months: defaultdict[str, list[MonthLevelRow]] = defaultdict(list)

    async def load(self, connection: Connection, tests: Sequence[Test], regions: Collection[str]) -> list[TestRow]:
        """Read what these tests will be compared with; return the stored ones that they may confirm."""
        if not tests:
            return []
        self._standing = await merges.groups(connection, {test.source for test in tests})
        sources = list(self._standing)
        times = [test.sampled_at for test in tests]
        span = Span(min(times) - RECENT, max(times) + RECENT)
        for reading in await recent.readings_at(connection, sources, span):
            self._readings[self._at(reading.source)][reading.id] = _reading(reading)
        for month in await recent.months_of(connection, regions, span):
            self._months[month.region].append(month)
        doubted = await recent.doubted_at(connection, sources, span)
        for row in doubted:
            self.put(row)
        return doubted

    def put(self, row: TestRow) -> None:
        """Take note of what a test is now."""
        if not row.source or row.sampled != "pump":
            return
        if row.state == "counted":
            self._readings[self._at(row.source)][row.id] = reading_of(row)
        elif row.state == "held" and "out_of_line" in row.flags:
            self._doubted[self._at(row.source)][row.id] = row

    def forget(self, row: TestRow) -> None:
        """Take back what was noted of a test."""
        self._readings[self._at(row.source)].pop(row.id, None)
        self._doubted[self._at(row.source)].pop(row.id, None)

    def levels(self, test: Test, region: str) -> list[Level | None]:
        """Return what is usual at the source and in the region of a test, around its time."""
        at_source = (reading for _, reading in self._others(test) if _near(reading.sampled_at, test.sampled_at))
        first, last = f"{test.sampled_at - RECENT:%Y-%m}", f"{test.sampled_at + RECENT:%Y-%m}"
        months = [month for month in self._months[region] if first <= month.month <= last]
        in_region = pooled([Level(month.centre, month.spread or 0.0, month.tests) for month in months])
        return [level_of(at_source), in_region]

    def confirming(self, test: Test) -> Iterator[Reading]:
        """Yield the readings at the source of a test that may confirm it: counted ones, and those held as odd too."""
        yield from (reading for _, reading in self._others(test))
        yield from (reading_of(row) for row in self.doubted(test.source) if row.id != test.id)

    def doubted(self, source: str) -> list[TestRow]:
        """Return the tests at a source that are held because they are out of line."""
        return list(self._doubted[self._at(source)].values())

    def _at(self, source: str | None) -> str:
        return self._standing.get(source or "", source or "")

    def _others(self, test: Test) -> Iterator[tuple[str, Reading]]:
        return (
            (other, reading) for other, reading in self._readings[self._at(test.source)].items() if other != test.id
        )


def reading_of(row: TestRow) -> Reading:
    """Return a stored test as a reading."""
    assert row.sampled_at, "a test that is not retracted has a time"
    assert row.content is not None, "and a content"
    return Reading(row.contributor, row.sampled_at, row.content, row.expanded_uncertainty or 0.0)


def _reading(row: ReadingRow) -> Reading:
    return Reading(row.contributor, row.sampled_at, row.content, row.expanded_uncertainty)


def _near(one: datetime, other: datetime) -> bool:
    return abs(one - other) <= RECENT
