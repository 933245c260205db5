"""What a new reading is compared with: the figures of its source and region, and readings held as out of line."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from math import sqrt

from msgspec.structs import astuple

from splitline.checking.outliers import (
    CONFIRMING,
    FARTHEST,
    FARTHEST_STRANGER,
    RECENT,
    Level,
    Reading,
    confirms,
    is_in_line,
    level_of,
    pooled,
)
from splitline.records import Test
from splitline.statistics.influence import STRANGER
from splitline.statistics.visits import LIGHT
from splitline.store import counted_readings, influence, merges, tests
from splitline.store.counted_readings import DoubtedRow, ReadingRow, Span
from splitline.store.engine import Connection
from splitline.store.rows import TestRow, month_of_day

Pumped = tuple[str, Reading, Collection[str]]
"""A source, a new reading there, and the regions that it may belong to."""


class Comparison:
    """Readings by source: loaded in a few queries for a group, and updated with each decision."""

    def __init__(self) -> None:
        # Source -> the source it is merged into, or itself. By the latter: contributor and day -> reading; and, for
        # tests held as out of line, test id -> reading.
        self._standing: dict[str, str] = {}
        self._readings: defaultdict[str, dict[tuple[str, int], Reading]] = defaultdict(dict)
        self._doubted: defaultdict[str, dict[str, Reading]] = defaultdict(dict)
        # Region -> months and their levels.
        self._months: defaultdict[str, list[tuple[str, Level]]] = defaultdict(list)
        # Region, first and last month -> their level.
        self._pooled: dict[tuple[str, str, str], Level | None] = {}
        # Region -> the largest weight there; region and contributor -> weight.
        self._heaviest: dict[str, float] = {}
        self._weights: dict[tuple[str, str], float] = {}
        # The batch's readings that are in line with every region they may belong to.
        self._usual: set[Reading] = set()

    async def load(self, connection: Connection, pumped: Sequence[Pumped]) -> list[TestRow]:
        """Read what these readings will be compared with; return the tests held as out of line that they confirm.

        Readings at a source are loaded only if a new one there may be far from its region's level.
        """
        if not pumped:
            return []
        self._standing = await merges.groups(connection, {source for source, _, _ in pumped})
        days = [reading.day for _, reading, _ in pumped]
        span = Span(min(days) - RECENT, max(days) + RECENT)
        regions = {region for _, _, regions in pumped for region in regions}
        for month in await counted_readings.months_of(connection, regions, span):
            self._months[month.region].append((month.month, Level(month.centre, month.spread or 0.0, month.tests)))
        self._heaviest = await influence.heaviest_in(connection, regions)
        senders = {reading.contributor for _, reading, _ in pumped}
        await self._weigh(connection, regions, senders)
        odd = set()
        for at, new, its_regions in pumped:
            if self._fits_all(new, its_regions):
                self._usual.add(new)
            else:
                odd.add(self._at(at))
        sources = [source for source, standing in self._standing.items() if standing in odd]
        readings = await counted_readings.readings_at(connection, sources, span)
        for row in readings:
            self._readings[self._at(row.source)][_key(row)] = _reading(row)
        confirmable = Span(min(days) - CONFIRMING, max(days) + CONFIRMING)
        doubted = await counted_readings.doubted_at(connection, self._standing, confirmable)
        for one in doubted:
            self._doubted[self._at(one.source)][one.id] = Reading(*astuple(one)[2:])
        await self._weigh(connection, regions, (_people(readings) | _people(doubted)) - senders)
        confirmed = {test for at, new, _ in pumped for test, other in self.doubted(at) if confirms(new, other)}
        return list((await tests.by_ids(connection, confirmed)).values())

    def counts(self, contributor: str, region: str) -> bool:
        """Whether a contributor has at least half the largest weight in a region."""
        weight = self._weights.get((region, contributor), STRANGER)
        return weight >= LIGHT * self._heaviest.get(region, STRANGER)

    def farthest(self, contributor: str, region: str) -> float:
        """The largest deviation, in standard deviations, at which a contributor's reading counts at once."""
        return FARTHEST if self.counts(contributor, region) else FARTHEST_STRANGER

    async def _weigh(self, connection: Connection, regions: Collection[str], contributors: Collection[str]) -> None:
        self._weights |= await influence.weights_of(connection, regions, contributors)

    def is_usual(self, reading: Reading) -> bool:
        """Whether a reading of the batch is known to be in line with its region."""
        return reading in self._usual

    def _fits_all(self, reading: Reading, regions: Collection[str]) -> bool:
        """Whether a reading is in line with each of these regions, whichever it turns out to belong to."""
        first, last = _around(reading.day)
        for region in regions:
            level = self._in_region(region, first, last)
            if level is None or not is_in_line(reading, level, self.farthest(reading.contributor, region)):
                return False
        return bool(regions)

    def put(self, row: TestRow) -> None:
        """Update the comparison with a test's new state."""
        if not row.source or row.sampled != "pump":
            return
        if row.state == "counted":
            reading = reading_of(row)
            self._readings[self._at(row.source)][_key(reading)] = reading
        elif row.state == "held" and "out_of_line" in row.flags:
            self._doubted[self._at(row.source)][row.id] = reading_of(row)

    def forget(self, row: TestRow) -> None:
        """Remove a test from the comparison."""
        if row.day is not None:
            self._readings[self._at(row.source)].pop((row.contributor, row.day), None)
        self._doubted[self._at(row.source)].pop(row.id, None)

    def levels(self, source: str, reading: Reading, region: str) -> Iterator[Level | None]:
        """Yield the levels of a region and of a source around the time of a reading there."""
        yield self._in_region(region, *_around(reading.day))
        first, last = reading.day - RECENT, reading.day + RECENT
        yield level_of([other for other in self._others(source, reading) if first <= other.day <= last])

    def confirming(self, test: Test, reading: Reading) -> Iterator[Reading]:
        """Yield the readings at a test's source that may confirm it: counted ones, and those held as out of line."""
        yield from self._others(test.source, reading)
        yield from (other for held, other in self.doubted(test.source) if held != test.id)

    def doubted(self, source: str) -> list[tuple[str, Reading]]:
        """Return id and reading of the tests at a source that are held because they are out of line."""
        return list(self._doubted[self._at(source)].items())

    def _in_region(self, region: str, first: str, last: str) -> Level | None:
        """The level of a region's months as they were before the batch; cached, since many tests need the same."""
        asked = (region, first, last)
        if asked not in self._pooled:
            self._pooled[asked] = pooled(
                tuple(level for month, level in self._months[region] if first <= month <= last)
            )
        return self._pooled[asked]

    def _at(self, source: str | None) -> str:
        return self._standing.get(source or "", source or "")

    def _others(self, source: str, reading: Reading) -> list[Reading]:
        """All readings there except the same person's on the same day, which may be an earlier revision of this one."""
        known, own = self._readings[self._at(source)], _key(reading)
        return [other for key, other in known.items() if key != own]


def reading_of(row: TestRow) -> Reading:
    """Return a stored test as a reading."""
    assert row.day is not None, "a test that is not retracted has a day"
    assert row.content is not None, "and a content"
    return Reading(row.contributor, row.day, row.content, row.expanded_uncertainty or 0.0)


def _reading(row: ReadingRow) -> Reading:
    return Reading(row.contributor, row.day, row.content, 2.0 * sqrt(row.own_variance + row.shared_uncertainty**2))


def _people(rows: Iterable[ReadingRow | DoubtedRow]) -> set[str]:
    return {row.contributor for row in rows}


def _key(one: Reading | ReadingRow) -> tuple[str, int]:
    return one.contributor, one.day


def _around(day: int) -> tuple[str, str]:
    """The first and last month within `RECENT` of a day."""
    return month_of_day(day - RECENT), month_of_day(day + RECENT)
