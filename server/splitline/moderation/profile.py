"""Everything known about one contributor, for the moderator."""

from datetime import datetime

from msgspec import Struct, json

from splitline.errors import Problem, Unusable
from splitline.moderation.oddities import Oddity, oddities
from splitline.records import Source
from splitline.store import contributor_counts, contributors, decisions, sources, tests
from splitline.store.contributor_counts import Weight
from splitline.store.engine import Connection, Store
from splitline.store.rows import SourceRow


class Verdict(Struct, frozen=True, kw_only=True):
    """A decision about everything of a contributor."""

    action: str
    why: str
    decided_by: str
    decided_at: datetime


class Tests(Struct, frozen=True, kw_only=True):
    """The number of tests by outcome, and the period in which they were sampled."""

    counted: int = 0
    held: int = 0
    withheld: int = 0
    retracted: int = 0
    first_sampled_at: datetime | None = None
    last_sampled_at: datetime | None = None


class Place(Struct, frozen=True, kw_only=True):
    """A source that a contributor added or tested. tests: theirs."""

    id: str
    name: str
    region: str
    state: str
    entered: bool
    tests: int
    others_tested: bool


class Picture(Struct, frozen=True, kw_only=True):
    """A picture. path: where it is served while a test that is not withheld shows it."""

    path: str
    received_at: datetime
    bytes: int
    tests: int


class Profile(Struct, frozen=True, kw_only=True):
    """A contributor. days_heard: number of days (UTC) on which the current records arrived; decisions: oldest first."""

    contributor: str
    first_seen_at: datetime
    days_heard: int
    withheld: bool
    decisions: tuple[Verdict, ...]
    tests: Tests
    weights: tuple[Weight, ...]
    sources: tuple[Place, ...]
    photos: tuple[Picture, ...]
    oddities: tuple[Oddity, ...]


async def profile(store: Store, contributor: str) -> Profile:
    """Return what is known about a contributor. Raises `Unusable`."""
    async with store.snapshot() as connection:
        seen = await contributors.first_seen(connection, [contributor])
        if contributor not in seen:
            raise Unusable([Problem("contributor_unknown", "id", contributor)])
        made = await decisions.about(connection, [contributor])
        days = await contributor_counts.days_heard(connection, contributor)
        weights = await contributor_counts.weights_of(connection, contributor)
        counts = await _counts(connection, contributor)
        places = await _places(connection, contributor)
        shown = await contributor_counts.pictures_of(connection, contributor)
    return Profile(
        contributor=contributor,
        first_seen_at=seen[contributor],
        days_heard=days,
        withheld=bool(made) and made[-1].action == "withhold",
        decisions=tuple(
            Verdict(action=one.action, why=one.why, decided_by=one.decided_by, decided_at=one.decided_at)
            for one in made
        ),
        tests=counts,
        weights=tuple(weights),
        sources=tuple(places),
        photos=tuple(
            Picture(path=f"/api/v1/photos/{one.digest}", received_at=one.received_at, bytes=one.bytes, tests=one.tests)
            for one in shown
        ),
        oddities=tuple(one for one in await oddities(store) if one.contributor == contributor),
    )


async def _counts(connection: Connection, contributor: str) -> Tests:
    rows = await contributor_counts.states_of(connection, contributor)
    counts = {"retracted" if row.retracted else row.state: row.tests for row in rows}
    first = [row.first_sampled_at for row in rows if row.first_sampled_at]
    last = [row.last_sampled_at for row in rows if row.last_sampled_at]
    return Tests(
        **counts,
        first_sampled_at=min(first, default=None),
        last_sampled_at=max(last, default=None),
    )


async def _places(connection: Connection, contributor: str) -> list[Place]:
    """Their sources, the most tested first."""
    counts = {one.source: one.tests for one in await contributor_counts.places_of(connection, contributor)}
    entered = await sources.entered_by(connection, contributor)
    rows = {**await sources.by_ids(connection, counts), **{row.id: row for row in entered}}
    shared = {source for source, who in await tests.users(connection, rows) if who != contributor}
    found = [_place(row, contributor, counts.get(row.id, 0), row.id in shared) for row in rows.values()]
    return sorted(found, key=lambda place: (-place.tests, place.name, place.id))


def _place(row: SourceRow, contributor: str, count: int, shared: bool) -> Place:
    return Place(
        id=row.id,
        name=json.decode(row.record, type=Source).name if row.record else "",
        region=row.region,
        state="retracted" if row.retracted else row.state,
        entered=row.contributor == contributor,
        tests=count,
        others_tested=shared,
    )
