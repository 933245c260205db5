"""The working set of a group of batches: the stored records it touches, with the group's changes so far."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from msgspec import Struct, json
from msgspec.structs import replace

from splitline.checking.outliers import Reading
from splitline.chemistry.budget import Figures
from splitline.identity import is_bound
from splitline.intake.checked_record import CheckedRecord
from splitline.intake.comparison import Comparison
from splitline.intake.nearby import Nearby
from splitline.public import noon_of
from splitline.records import Retraction, Source, Test
from splitline.store import contributors, decisions, merges, photos, sources, tests
from splitline.store.engine import Connection
from splitline.store.rows import CHANGE_REFUSED, Row, SourceRow, TestRow, day_of, only_tests


class _Shown(Struct):
    """Only the pictures of a test's record, which saves parsing the rest."""

    photos: tuple[str, ...] = ()


_SHOWN = json.Decoder(_Shown)
# Found only in the text of a test without pictures: quotes in what people wrote are escaped.
_SHOWS_NONE = '"photos":[]'


class WorkingSet:
    """A group's changes over the rows of the database, loaded in a few queries before the first decision."""

    def __init__(self) -> None:
        self.before: dict[str, Row] = {}
        self.now: dict[str, Row] = {}
        # Source to change or retract -> contributors with tests there; sources that others are merged into.
        self.users: defaultdict[str, set[str]] = defaultdict(set)
        self.standing_for_others: set[str] = set()
        self.comparison = Comparison()
        self.nearby = Nearby()
        # Contributor -> `twin_key` -> id; photo digest -> ids. Only tests that are not duplicates of others.
        self.readings: defaultdict[str, dict[str, str]] = defaultdict(dict)
        self.pictures: defaultdict[str, set[str]] = defaultdict(set)
        # Photo digest -> digests of the pictures that look like it.
        self.alike: dict[str, set[str]] = {}
        # Text of an arriving record -> the parsed record.
        self.read: dict[str, Source | Test] = {}
        # Contributor -> digest of their secret, for the senders and for the authors of stored rows with the same ids.
        self.digests: dict[str, str] = {}
        # Record and action -> a moderator's latest reason; contributor with all records withheld -> reason.
        self.why: dict[tuple[str, str], str] = {}
        self.set_aside: dict[str, str] = {}
        self._changed: dict[str, None] = {}

    def find(self, record: str) -> Row | None:
        """Return a record with the group's changes so far."""
        return self.now.get(record)

    def put(self, row: Row) -> None:
        """Set a record's new state; the last change gets the last number."""
        old = self.now.get(row.id)
        if old:
            self._forget(old)
            self._changed.pop(row.id, None)
        if isinstance(row, TestRow):
            self._remember(row)
        else:
            self.nearby.put(row)
        self.now[row.id] = row
        self._changed[row.id] = None

    def is_claimed(self, row: Row, checked: CheckedRecord) -> bool:
        """Whether a record was stored by somebody else under an id made with the current sender's secret."""
        return (
            row.contributor != checked.contributor
            and is_bound(row.id, checked.secret_digest)
            and not is_bound(row.id, self.digests[row.contributor])
        )

    def is_used_by_others(self, source: str, contributor: str) -> bool:
        """Whether other sources are merged into a source, or others have tests there."""
        return source in self.standing_for_others or bool(self.users[source] - {contributor})

    def changed(self) -> list[Row]:
        """Return what the group changed, in order, each record once."""
        return [self.now[record] for record in self._changed]

    async def load(self, connection: Connection, checked: Sequence[CheckedRecord]) -> None:
        """Load everything that decisions about these records need."""
        records = [one.form.record for one in checked if one.form.record]
        ids = {record.id for record in records}
        self.before.update(await tests.by_ids(connection, ids))
        places = {record.source for record in records if isinstance(record, Test)}
        self.before.update(await sources.by_ids(connection, ids | places))
        self.now.update(self.before)
        self.read = {one.text: one.form.record for one in checked if isinstance(one.form.record, Source | Test)}
        self.digests = {one.contributor: one.secret_digest for one in checked}
        first = {row.contributor for row in self.before.values() if row.id in ids} - self.digests.keys()
        self.digests |= await contributors.digests(connection, first)
        await self._load_decisions(connection, {one.contributor for one in checked})
        unsettled = [record.id for record in records if self._may_take_from_others(record)]
        for source, who in await tests.users(connection, unsettled):
            self.users[source].add(who)
        self.standing_for_others = set((await merges.members(connection, unsettled)).values())
        for who, twin_key, test in await tests.duplicates(connection, self._like(checked)):
            self.readings[who][twin_key] = test
        news = [one for one in checked if self._is_news(one)]
        await self._load_pictures(connection, news)
        await self._load_comparison(connection, news)
        placed = [(one, one.form.record) for one in checked if isinstance(one.form.record, Source)]
        await self.nearby.load(connection, [source for one, source in placed if self._is_open(one, source)])

    async def _load_decisions(self, connection: Connection, contributors: set[str]) -> None:
        """Load decisions about the senders, and about stored records that are withheld or had a change refused."""
        decided = [row.id for row in self.before.values() if row.is_withheld or CHANGE_REFUSED in row.flags]
        made = await decisions.about(connection, [*decided, *contributors])
        self.why = {(one.record, one.action): one.why for one in made}
        last = {one.record: one for one in made if one.record in contributors}
        self.set_aside = {who: one.why for who, one in last.items() if one.action == "withhold"}

    def _like(self, checked: Sequence[CheckedRecord]) -> list[tests.Like]:
        """The keys by which duplicates of these tests are found."""
        found = []
        for one in checked:
            test = one.form.record
            at = self.before.get(test.source) if isinstance(test, Test) and one.twin_key else None
            if at and isinstance(test, Test):
                day = day_of(noon_of(test.sampled_at))
                found.append(tests.Like(at.id, at.region, one.contributor, day, one.twin_key))
        return found

    async def _load_pictures(self, connection: Connection, news: Sequence[CheckedRecord]) -> None:
        named = {digest for one in news if isinstance(one.form.record, Test) for digest in one.form.record.photos}
        self.alike = await photos.alike(connection, await photos.looks(connection, named))
        for digest, shower in await photos.shown_by(connection, named.union(*self.alike.values())):
            self.pictures[digest].add(shower)

    async def _load_comparison(self, connection: Connection, news: Sequence[CheckedRecord]) -> None:
        """Load comparisons for every region a test's source has had, before the group or within it."""
        regions: defaultdict[str, set[str]] = defaultdict(set)
        for row in self.before.values():
            regions[row.id].add(row.region)
        for one in news:
            if isinstance(one.form.record, Source) and one.region:
                regions[one.form.record.id].add(one.region)
        pumped = [
            (test.source, reading_in(one.contributor, test, one.figures), regions[test.source])
            for one in news
            if isinstance(test := one.form.record, Test) and test.sampled == "pump" and one.figures
        ]
        for row in await self.comparison.load(connection, pumped):
            self.before.setdefault(row.id, row)
            self.now.setdefault(row.id, row)

    async def follow_sources(self, connection: Connection) -> None:
        """Give every test its source's current region; retract tests whose source turned out not to be a source."""
        unsettled = [row.id for row in self.changed() if self._unsettles(row)]
        stored = await tests.at_sources(connection, unsettled)
        self.before.update((row.id, row) for row in stored)
        for row in stored:
            self.now.setdefault(row.id, row)
        for row in only_tests(self.now.values()):
            source = self.now.get(row.source or "")
            if isinstance(source, TestRow):
                self.put(_taken_back(row))
            elif source and source.region != row.region:
                self.put(replace(row, region=source.region))

    def departures(self) -> list[tuple[str, str]]:
        """Return id and former region of the records that left one."""
        earlier = ((row, self.before.get(row.id)) for row in self.changed())
        return [(row.id, old.region) for row, old in earlier if old and old.region != row.region]

    def of_other_kind(self) -> list[Row]:
        """Return the stored rows to delete because their id now belongs to a record of another kind."""
        return [old for row in self.changed() if (old := self.before.get(row.id)) and type(old) is not type(row)]

    def pictures_shown(self, rows: Iterable[TestRow]) -> list[tuple[str, str, tuple[str, ...]]]:
        """Return id, region and pictures of the tests that show pictures, or may have shown some before."""
        shown = [(row.id, row.region, pictures_of(row)) for row in rows]
        return [(test, region, digests) for test, region, digests in shown if digests or test in self.before]

    def pictures_dropped(self) -> set[str]:
        """Return the digests of pictures that changed tests showed before."""
        rows = [self.before.get(row.id) for row in self.changed()]
        return {digest for row in rows if isinstance(row, TestRow) for digest in pictures_of(row)}

    def _is_news(self, checked: CheckedRecord) -> bool:
        """Whether a record may be newer than the stored row; a mere resend needs no further checks."""
        record = checked.form.record
        if record is None or checked.problems:
            return False
        old = self.before.get(record.id)
        return old is None or record.revision > old.revision or old.contributor != checked.contributor

    def _is_open(self, checked: CheckedRecord, source: Source) -> bool:
        """Whether nearby sources matter: it is new or changed, or its contributor was asked to check one nearby."""
        old = self.before.get(source.id)
        return old is None or self._is_news(checked) or "similar_source" in old.flags

    def _may_take_from_others(self, record: Source | Test | Retraction) -> bool:
        """Whether a record changes or retracts a stored source."""
        old = self.before.get(record.id)
        is_change = isinstance(record, Source) and old is not None and record.revision > old.revision
        return is_change or (isinstance(record, Retraction) and record.kind == "source")

    def _unsettles(self, row: Row) -> bool:
        """Whether the tests at a source must change: its id has another kind or region now, or it is retracted."""
        old = self.before.get(row.id)
        return isinstance(old, SourceRow) and (isinstance(row, TestRow) or old.region != row.region or row.retracted)

    def _remember(self, row: TestRow) -> None:
        self.comparison.put(row)
        self.users[row.source or ""].add(row.contributor)
        if row.is_duplicate or row.retracted:
            return
        self.readings[row.contributor].setdefault(row.twin_key or "", row.id)
        for digest in pictures_of(row):
            self.pictures[digest].add(row.id)

    def _forget(self, row: Row) -> None:
        if isinstance(row, SourceRow):
            self.nearby.forget(row.id)
            return
        self.comparison.forget(row)
        readings = self.readings[row.contributor]
        if readings.get(row.twin_key or "") == row.id:
            del readings[row.twin_key or ""]
        for digest in pictures_of(row):
            self.pictures[digest].discard(row.id)


def record_of(row: Row) -> Source | Test | None:
    """Return the record of a row, or None once it is retracted."""
    if row.record is None:
        return None
    if isinstance(row, SourceRow):
        return json.decode(row.record, type=Source)
    return json.decode(row.record, type=Test)


def _taken_back(row: TestRow) -> TestRow:
    return TestRow(
        id=row.id,
        region=row.region,
        contributor=row.contributor,
        revision=row.revision,
        sequence=0,
        received_at=row.received_at,
        retracted=True,
        state="withheld",
    )


def pictures_of(row: TestRow) -> tuple[str, ...]:
    """Return the digests of the pictures that a test shows."""
    if not row.record or _SHOWS_NONE in row.record:
        return ()
    return _SHOWN.decode(row.record).photos


def reading_in(contributor: str, test: Test, figures: Figures) -> Reading:
    """Return a test as a reading."""
    day = day_of(noon_of(test.sampled_at))
    return Reading(contributor, day, figures.content, figures.expanded_uncertainty)
