"""Counts per contributor, made by the database; these queries scan every counted or held test."""

from collections.abc import AsyncIterator
from datetime import datetime

from msgspec import Struct
from sqlalchemy import Integer, bindparam, distinct, func, select

from splitline.store.driver import Connection, fetch, fetch_as, stream
from splitline.store.schema import contributor_weights, photos, test_photos, tests, tube_offsets
from splitline.store.tests import BY_CONTRIBUTOR, IN_USE


class Arrived(Struct, frozen=True):
    """Tests of one contributor whose newest revisions arrived at one moment. day: of sampling, since 1970-01-01."""

    contributor: str
    received_at: datetime
    day: int
    tests: int


class OfDay(Struct, frozen=True):
    """Tests of one contributor dated to one day. day: since 1970-01-01; sources: number of sources."""

    contributor: str
    day: int
    tests: int
    sources: int


class At(Struct, frozen=True):
    """Tests of one contributor at one source."""

    contributor: str
    source: str
    tests: int


class Stated(Struct, frozen=True):
    """Tests of one contributor in one state."""

    state: str
    retracted: bool
    tests: int
    first_sampled_at: datetime | None
    last_sampled_at: datetime | None


class Offset(Struct, frozen=True):
    """How far a contributor's tube reads too high, see `statistics.instrument_bias.TubeOffset`; % (V/V)."""

    region: str
    contributor: str
    tube: str
    offset: float
    uncertainty: float
    sources: int


class Shown(Struct, frozen=True):
    """A contributor's picture, and the number of tests that show it."""

    digest: str
    received_at: datetime
    bytes: int
    tests: int


class Weight(Struct, frozen=True):
    """A contributor's weight in a region, 0..1, see `statistics.influence`."""

    region: str
    weight: float


COUNT = func.count().label("tests")
ARRIVALS = (
    select(tests.c.contributor, tests.c.received_at, tests.c.day, COUNT)
    .where(IN_USE)
    .group_by(tests.c.contributor, tests.c.received_at, tests.c.day)
)
DAYS = (
    select(tests.c.contributor, tests.c.day, COUNT, func.count(distinct(tests.c.source)).label("sources"))
    .where(IN_USE)
    .group_by(tests.c.contributor, tests.c.day)
    .having(func.count() >= bindparam("least", type_=Integer))
)
PLACES = select(tests.c.contributor, tests.c.source, COUNT).where(IN_USE).group_by(tests.c.contributor, tests.c.source)
PLACES_OF = (
    select(tests.c.contributor, tests.c.source, COUNT)
    .where(BY_CONTRIBUTOR, tests.c.retracted.is_(False))
    .group_by(tests.c.contributor, tests.c.source)
)
RECEIVED = select(tests.c.received_at).where(BY_CONTRIBUTOR).distinct()
STATES = (
    select(
        tests.c.state,
        tests.c.retracted,
        COUNT,
        func.min(tests.c.sampled_at).label("first_sampled_at"),
        func.max(tests.c.sampled_at).label("last_sampled_at"),
    )
    .where(BY_CONTRIBUTOR)
    .group_by(tests.c.state, tests.c.retracted)
)
WEIGHTS = (
    select(contributor_weights.c.region, contributor_weights.c.weight)
    .where(contributor_weights.c.contributor == bindparam("contributor"))
    .order_by(contributor_weights.c.region)
)
OFFSETS = select(*(tube_offsets.c[name] for name in Offset.__struct_fields__))
PICTURES = (
    select(photos.c.digest, photos.c.received_at, photos.c.bytes, func.count(test_photos.c.test).label("tests"))
    .outerjoin(test_photos, test_photos.c.digest == photos.c.digest)
    .where(photos.c.contributor == bindparam("contributor"), photos.c.leaving.is_(False))
    .group_by(photos.c.digest, photos.c.received_at, photos.c.bytes)
    .order_by(photos.c.received_at, photos.c.digest)
)


async def arrivals(connection: Connection) -> AsyncIterator[Arrived]:
    """Yield arrivals by contributor and moment, in no order."""
    async for page in stream(connection, ARRIVALS):
        for row in page:
            yield Arrived(*row)


async def days(connection: Connection, least: int) -> list[OfDay]:
    """Return the days to which a contributor dates at least `least` tests."""
    return await fetch_as(OfDay, connection, DAYS, least=least)


async def places(connection: Connection) -> AsyncIterator[At]:
    """Yield contributors and the sources they tested, in no order."""
    async for page in stream(connection, PLACES):
        for row in page:
            yield At(*row)


async def places_of(connection: Connection, contributor: str) -> list[At]:
    """Return the sources a contributor tested, withheld tests included."""
    return await fetch_as(At, connection, PLACES_OF, contributor=contributor)


async def days_heard(connection: Connection, contributor: str) -> int:
    """Return the number of days (UTC) on which the newest revisions of a contributor's tests arrived."""
    return len({moment.date() for (moment,) in await fetch(connection, RECEIVED, contributor=contributor)})


async def states_of(connection: Connection, contributor: str) -> list[Stated]:
    """Return the number of a contributor's tests in each state."""
    return await fetch_as(Stated, connection, STATES, contributor=contributor)


async def weights_of(connection: Connection, contributor: str) -> list[Weight]:
    """Return a contributor's weights in the regions where they have visits."""
    return await fetch_as(Weight, connection, WEIGHTS, contributor=contributor)


async def offsets(connection: Connection) -> list[Offset]:
    """Return the offsets of all tubes."""
    return await fetch_as(Offset, connection, OFFSETS)


async def pictures_of(connection: Connection, contributor: str) -> list[Shown]:
    """Return a contributor's stored pictures, oldest first."""
    return await fetch_as(Shown, connection, PICTURES, contributor=contributor)
