"""What waits for a moderator: held and withheld records with their reasons, and sources that may be one place."""

from datetime import datetime

from msgspec import Struct, json

from splitline.answers import told
from splitline.checking.places import NEAR_KM, similar_source
from splitline.checking.wording import Told
from splitline.errors import Problem
from splitline.intake.nearby import place_of
from splitline.position import Position, box_around
from splitline.records import Source
from splitline.store import sources, strips, tests
from splitline.store.engine import Connection, Store
from splitline.store.rows import HOLDING, WITHHELD, SourceRow, TestRow


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
    reasons: tuple[Told, ...]


class WaitingSource(Struct, frozen=True, kw_only=True):
    """A source that is withheld, or that may be the same place as another."""

    id: str
    name: str
    state: str
    region: str
    contributor: str
    similar_to: str | None
    similar_name: str | None


class Waiting(Struct, frozen=True, kw_only=True):
    """Everything that waits, in the order it came."""

    tests: tuple[WaitingTest, ...]
    sources: tuple[WaitingSource, ...]


async def waiting(store: Store) -> Waiting:
    """Return what waits for a moderator."""
    async with store.read() as connection:
        odd = await tests.set_aside(connection)
        named = await sources.by_ids(connection, {row.source for row in odd if row.source})
        doubtful = [await _source(connection, row) for row in await sources.doubtful(connection)]
    return Waiting(
        tests=tuple(_test(row, named.get(row.source or "")) for row in odd),
        sources=tuple(entry for entry in doubtful if entry),
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
        reasons=told(Problem(flag) for flag in row.flags if flag in (*HOLDING, WITHHELD)),
    )


async def _source(connection: Connection, row: SourceRow) -> WaitingSource | None:
    """A source as it stands now: whoever was remarked on may have moved, or its neighbour gone."""
    source = json.decode(row.record or "", type=Source)
    box = box_around(Position(source.latitude, source.longitude), NEAR_KM)
    near = await strips.within_any(connection, [box])
    others = [json.decode(other.record, type=Source) for other in near if other.record]
    similar = similar_source(place_of(source), [place_of(other) for other in others])
    if similar is None and row.state == "counted":
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


def _name(row: SourceRow | None) -> str:
    return json.decode(row.record, type=Source).name if row and row.record else ""
