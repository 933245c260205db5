"""What a batch sees: the stored records it touches, and what it has made of them so far."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from msgspec import Struct, json
from msgspec.structs import replace

from splitline.arrival import Arrival
from splitline.checking.outliers import Reading
from splitline.chemistry.budget import Figures
from splitline.neighbourhood import Neighbourhood
from splitline.records import Retraction, Source, Test
from splitline.store import decisions, photos, sources, tests
from splitline.store.engine import Connection
from splitline.store.rows import Row, SourceRow, TestRow, only_tests
from splitline.surroundings import Surroundings


class _Shown(Struct):
    """Of a test's record only the pictures: the rest need not be read for them."""

    photos: tuple[str, ...] = ()


_SHOWN = json.Decoder(_Shown)
# How the text of a test without pictures ends: they are its last field.
_SHOWS_NONE = '"photos":[]}'


class Ledger:
    """The records of one batch over those of the database, read in a few queries before the first decision."""

    def __init__(self, contributor: str) -> None:
        self.contributor = contributor
        self.before: dict[str, Row] = {}
        self.now: dict[str, Row] = {}
        self.used_by_others: set[str] = set()
        self.surroundings = Surroundings()
        self.neighbourhood = Neighbourhood()
        # Twin key -> id, photo digest -> ids, of the tests that are no twins of others.
        self.readings: dict[str, str] = {}
        self.pictures: defaultdict[str, set[str]] = defaultdict(set)
        # Photo digest -> digests of the pictures that look like it.
        self.alike: dict[str, set[str]] = {}
        # Record -> what a moderator said who took it out.
        self.why_withheld: dict[str, str] = {}
        self._changed: dict[str, None] = {}

    def find(self, record: str) -> Row | None:
        """Return a record as the batch has left it so far."""
        return self.now.get(record)

    def put(self, row: Row) -> None:
        """Set what a record is now; the last to change comes last in the sequence."""
        old = self.now.get(row.id)
        if old:
            self._forget(old)
            self._changed.pop(row.id, None)
        if isinstance(row, TestRow):
            self._remember(row)
        else:
            self.neighbourhood.put(row)
        self.now[row.id] = row
        self._changed[row.id] = None

    def reading(self, test: Test, figures: Figures) -> Reading:
        """Return a test of the batch as a reading."""
        return Reading(self.contributor, test.sampled_at, figures.content, figures.expanded_uncertainty)

    def changed(self) -> list[Row]:
        """Return what the batch changed, in order, each record once."""
        return [self.now[record] for record in self._changed]

    async def load(self, connection: Connection, arrivals: Sequence[Arrival]) -> None:
        """Read everything that decisions about these records will ask for."""
        records = [arrival.form.record for arrival in arrivals if arrival.form.record]
        pushed_tests = _tests(arrivals)
        ids = {record.id for record in records}
        self.before.update(await tests.by_ids(connection, ids))
        self.before.update(await sources.by_ids(connection, ids | {test.source for test in pushed_tests}))
        self.now.update(self.before)
        withheld = [row.id for row in self.before.values() if row.is_withheld]
        self.why_withheld = {one.record: one.why for one in await decisions.about(connection, withheld)}
        leaving = [record.id for record in records if isinstance(record, Retraction) and record.kind == "source"]
        self.used_by_others = await tests.used_by_others(connection, leaving, self.contributor)
        keys = {arrival.twin_key for arrival in arrivals if arrival.twin_key}
        self.readings.update(await tests.twins(connection, self.contributor, keys))
        news = [arrival for arrival in arrivals if self._is_news(arrival)]
        await self._load_pictures(connection, news)
        await self._load_surroundings(connection, news)
        placed = [record for record in records if isinstance(record, Source)]
        await self.neighbourhood.load(connection, [source for source in placed if self._is_open(source)])

    async def _load_pictures(self, connection: Connection, news: Sequence[Arrival]) -> None:
        named = {digest for test in _tests(news) for digest in test.photos}
        self.alike = await photos.alike(connection, await photos.looks(connection, named))
        for digest, shower in await photos.shown_by(connection, named.union(*self.alike.values())):
            self.pictures[digest].add(shower)

    async def _load_surroundings(self, connection: Connection, news: Sequence[Arrival]) -> None:
        records = ((arrival.form.record, arrival.figures) for arrival in news)
        pumped = [
            (test.source, self.reading(test, figures))
            for test, figures in records
            if isinstance(test, Test) and test.sampled == "pump" and figures
        ]
        regions = {row.region for row in self.before.values()} | {one.region for one in news if one.region}
        for row in await self.surroundings.load(connection, pumped, regions):
            self.before.setdefault(row.id, row)
            self.now.setdefault(row.id, row)

    async def follow_sources(self, connection: Connection) -> list[TestRow]:
        """Give every test the region its source has now; return the stored tests whose source moved or went."""
        unsettled = [row.id for row in self.changed() if isinstance(row, SourceRow) and self._unsettles(row)]
        stored = await tests.at_sources(connection, unsettled)
        self.before.update((row.id, row) for row in stored)
        for row in stored:
            self.now.setdefault(row.id, row)
        for row in only_tests(self.now.values()):
            source = self.now.get(row.source or "")
            if source and source.region != row.region:
                self.put(replace(row, region=source.region))
        return stored

    def departures(self) -> list[tuple[str, str]]:
        """Return region and id of the records that left a region."""
        earlier = ((row, self.before.get(row.id)) for row in self.changed())
        return [(old.region, row.id) for row, old in earlier if old and old.region != row.region]

    def pictures_shown(self, rows: Iterable[TestRow]) -> list[tuple[str, str, tuple[str, ...]]]:
        """Return region, id and pictures of the tests that show any, or may have shown some before."""
        shown = [(row.region, row.id, pictures_of(row)) for row in rows]
        return [(region, test, digests) for region, test, digests in shown if digests or test in self.before]

    def pictures_dropped(self) -> set[str]:
        """Return the digests that a changed test showed before."""
        rows = [self.before.get(row.id) for row in self.changed()]
        return {digest for row in rows if isinstance(row, TestRow) for digest in pictures_of(row)}

    def _is_news(self, arrival: Arrival) -> bool:
        """Whether a record may say more than what is stored; what is only sent again is not looked into."""
        record = arrival.form.record
        if record is None or arrival.problems:
            return False
        old = self.before.get(record.id)
        return old is None or record.revision > old.revision

    def _is_open(self, source: Source) -> bool:
        """Whether others near a source matter: it is new or changed, or its contributor was asked to look at one."""
        old = self.before.get(source.id)
        return old is None or source.revision > old.revision or "similar_source" in old.flags

    def _unsettles(self, row: SourceRow) -> bool:
        old = self.before.get(row.id)
        return old is not None and (old.region != row.region or row.retracted)

    def _remember(self, row: TestRow) -> None:
        self.surroundings.put(row)
        if row.is_twin or row.retracted:
            return
        self.readings.setdefault(row.twin_key or "", row.id)
        for digest in pictures_of(row):
            self.pictures[digest].add(row.id)

    def _forget(self, row: Row) -> None:
        if not isinstance(row, TestRow):
            return
        self.surroundings.forget(row)
        if self.readings.get(row.twin_key or "") == row.id:
            del self.readings[row.twin_key or ""]
        for digest in pictures_of(row):
            self.pictures[digest].discard(row.id)


def record_of(row: Row) -> Source | Test | None:
    """Return the record of a row, or None once it is retracted."""
    if row.record is None:
        return None
    if isinstance(row, SourceRow):
        return json.decode(row.record, type=Source)
    return json.decode(row.record, type=Test)


def pictures_of(row: TestRow) -> tuple[str, ...]:
    """Return the digests of the pictures that a test shows."""
    if not row.record or row.record.endswith(_SHOWS_NONE):
        return ()
    return _SHOWN.decode(row.record).photos


def _tests(arrivals: Iterable[Arrival]) -> list[Test]:
    records = (arrival.form.record for arrival in arrivals)
    return [record for record in records if isinstance(record, Test)]
