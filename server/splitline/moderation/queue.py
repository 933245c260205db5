"""The moderator's queue: held and withheld records with reasons, changes of sources, possible duplicates."""

from datetime import datetime

from msgspec import Struct, json

from splitline.answers import reports
from splitline.checking.places import NEAR_KM, similar_source
from splitline.checking.wording import Report
from splitline.errors import Problem
from splitline.intake import ownership
from splitline.intake.nearby import place_of
from splitline.position import Position, box_around, distance_km
from splitline.records import Source
from splitline.store import box_join, decisions, sources, tests
from splitline.store.decisions import DecisionRow
from splitline.store.engine import Connection, Store
from splitline.store.rows import HOLDING, WITHHELD, Row, SourceRow, TestRow


class WaitingTest(Struct, frozen=True, kw_only=True):
    """A test that does not count, and why. content, expanded_uncertainty: % (V/V)."""

    id: str
    revision: int
    state: str
    region: str
    contributor: str
    source: str
    source_name: str
    sampled_at: datetime
    content: float
    expanded_uncertainty: float
    reasons: tuple[Report, ...]


class WaitingSource(Struct, frozen=True, kw_only=True):
    """A source that is withheld, or that may duplicate another."""

    id: str
    name: str
    state: str
    region: str
    contributor: str
    similar_to: str | None
    similar_name: str | None


class Spot(Struct, frozen=True, kw_only=True):
    """A source as its record describes it."""

    name: str
    pump: str
    region: str
    latitude: float
    longitude: float


class WaitingChange(Struct, frozen=True, kw_only=True):
    """A change of a source that others tested. distance: between the source's present and proposed position, km."""

    id: str
    contributor: str
    revision: int
    received_at: datetime
    now: Spot
    then: Spot
    distance: float


class WithheldContributor(Struct, frozen=True, kw_only=True):
    """A contributor whose records are all withheld. tests: how many of theirs are withheld for that reason."""

    contributor: str
    tests: int
    why: str
    decided_by: str
    decided_at: datetime


class Waiting(Struct, frozen=True, kw_only=True):
    """The queue, in order of arrival; records withheld with everything of a contributor are only counted."""

    tests: tuple[WaitingTest, ...]
    sources: tuple[WaitingSource, ...]
    changes: tuple[WaitingChange, ...]
    contributors: tuple[WithheldContributor, ...]


async def waiting(store: Store) -> Waiting:
    """Return the moderator's queue."""
    async with store.read() as connection:
        odd = await tests.set_aside(connection)
        named = await sources.by_ids(connection, {row.source for row in odd if row.source})
        doubtful = await sources.doubtful(connection)
        doubles = [await _source(connection, row) for row in doubtful if row.state != "merged"]
        out = await tests.all_withheld_counts(connection)
        people = await decisions.set_aside(connection)
    return Waiting(
        tests=tuple(_test(row, named.get(row.source or "")) for row in odd),
        sources=tuple(entry for entry in doubles if entry),
        changes=tuple(_change(row) for row in doubtful if ownership.is_waiting(row)),
        contributors=tuple(_set_aside(one, out.get(one.record, 0)) for one in people),
    )


def _test(row: TestRow, source: SourceRow | None) -> WaitingTest:
    assert row.sampled_at, "a test that is not retracted has a time"
    return WaitingTest(
        id=row.id,
        revision=row.revision,
        state=row.state,
        region=row.region,
        contributor=row.contributor,
        source=row.source or "",
        source_name=_name(source),
        sampled_at=row.sampled_at,
        content=row.content or 0.0,
        expanded_uncertainty=row.expanded_uncertainty or 0.0,
        reasons=reports(Problem(flag) for flag in row.flags if flag in (*HOLDING, WITHHELD)),
    )


async def _source(connection: Connection, row: SourceRow) -> WaitingSource | None:
    """A source as it is now: since it was flagged it may have moved, or the source near it may be gone."""
    source = json.decode(row.record or "", type=Source)
    box = box_around(Position(source.latitude, source.longitude), NEAR_KM)
    near = await box_join.within_any(connection, [box])
    others = [json.decode(other.record, type=Source) for other in near if other.record]
    similar = similar_source(place_of(source), [place_of(other) for other in others])
    if row.state == "counted" and (similar is None or "similar_source" not in row.flags):
        return None
    return WaitingSource(
        id=row.id,
        name=source.name,
        state=row.state,
        region=row.region,
        contributor=row.contributor,
        similar_to=similar.value if similar else None,
        similar_name=similar.limit if similar else None,
    )


def _change(row: SourceRow) -> WaitingChange:
    new = ownership.newest(row)
    now, then = _spot(row), _spot(new)
    return WaitingChange(
        id=row.id,
        contributor=row.contributor,
        revision=new.revision,
        received_at=new.received_at,
        now=now,
        then=then,
        distance=distance_km(Position(now.latitude, now.longitude), Position(then.latitude, then.longitude)),
    )


def _spot(row: Row) -> Spot:
    source = json.decode(row.record or "", type=Source)
    return Spot(
        name=source.name,
        pump=source.pump,
        region=row.region,
        latitude=source.latitude,
        longitude=source.longitude,
    )


def _set_aside(one: DecisionRow, count: int) -> WithheldContributor:
    return WithheldContributor(
        contributor=one.record, tests=count, why=one.why, decided_by=one.decided_by, decided_at=one.decided_at
    )


def _name(row: SourceRow | None) -> str:
    return json.decode(row.record, type=Source).name if row and row.record else ""
