"""Recent readings at sources and levels of regions, which new readings are compared with."""

from collections.abc import Collection, Iterable, Sequence

from msgspec import Struct
from sqlalchemy import Integer, bindparam, func, literal_column, select, text

from splitline.store.array_param import among, found_by
from splitline.store.driver import Connection, Row, Statement, fetch
from splitline.store.rows import month_of_day
from splitline.store.schema import DOUBTED, region_months, sources, tests, visits

MOST_READ, MOST_DOUBTED = 200, 50
"""Most visits, and most held tests, at its source that a new test is compared with: the newest."""


class Span(Struct, frozen=True):
    """A span of days, both ends included, see `rows.day_of`."""

    first: int
    last: int


class ReadingRow(Struct, frozen=True):
    """A visit, with the fields needed for comparison."""

    source: str
    contributor: str
    day: int
    content: float
    own_variance: float
    shared_uncertainty: float


class DoubtedRow(Struct, frozen=True):
    """A test held as out of line, with the fields needed for comparison."""

    id: str
    source: str
    contributor: str
    day: int
    content: float
    expanded_uncertainty: float


class MonthLevelRow(Struct, frozen=True):
    """The level of a region in one month. centre, spread: robust, % (V/V); tests: how many."""

    region: str
    month: str
    centre: float
    spread: float | None
    tests: int


FIRST, LAST = bindparam("first", type_=Integer()), bindparam("last", type_=Integer())
newer = visits.alias()
FIRST_READ = (
    select(newer.c.day)
    .where(newer.c.source == sources.c.id, newer.c.day.between(FIRST, LAST))
    .order_by(newer.c.day.desc())
    .offset(literal_column(str(MOST_READ - 1)))
    .limit(literal_column("1"))
    .correlate(sources)
    .scalar_subquery()
)
"""The day of the last of the newest visits at a source, if there are that many."""
AT = (
    select(sources.c.id, func.coalesce(FIRST_READ, FIRST).label("first"))
    .where(among(sources.c.id, "sources"))
    .cte("at")
    .prefix_with("MATERIALIZED")
)
READINGS = (
    select(*(visits.c[name] for name in ReadingRow.__struct_fields__))
    .join(AT, visits.c.source == AT.c.id)
    .where(visits.c.day.between(AT.c.first, LAST))
)
newest = tests.alias("newest")
NEWEST_DOUBTED = (
    select(newest.c.id)
    .where(
        text(DOUBTED),
        newest.c.source == sources.c.id,
        newest.c.day.between(FIRST, LAST),
        newest.c.sampled == "pump",
    )
    .order_by(newest.c.day.desc())
    .limit(literal_column(str(MOST_DOUBTED)))
    .correlate(sources)
)
DOUBTED_AT = (
    select(*(tests.c[name] for name in DoubtedRow.__struct_fields__))
    .select_from(sources.join(tests, found_by(tests.c.id, NEWEST_DOUBTED)))
    .where(among(sources.c.id, "sources"))
)
LEVELS = select(*(region_months.c[name] for name in MonthLevelRow.__struct_fields__)).where(
    among(region_months.c.region, "regions"),
    region_months.c.month.between(bindparam("first"), bindparam("last")),
)


async def readings_at(connection: Connection, sources: Iterable[str], span: Span) -> list[ReadingRow]:
    """Return the newest visits at these sources: `MOST_READ` of each, and the others of the last one's day."""
    return [ReadingRow(*row) for row in await _at(connection, READINGS, sources, span)]


async def doubted_at(connection: Connection, sources: Iterable[str], span: Span) -> list[DoubtedRow]:
    """Return the tests at these sources that are held as out of line, at most `MOST_DOUBTED` for each."""
    return [DoubtedRow(*row) for row in await _at(connection, DOUBTED_AT, sources, span)]


async def _at(connection: Connection, statement: Statement, sources: Iterable[str], span: Span) -> Sequence[Row]:
    return await fetch(connection, statement, sources=list(sources), first=span.first, last=span.last)


async def months_of(connection: Connection, regions: Collection[str], span: Span) -> list[MonthLevelRow]:
    """Return the levels of these regions, month by month."""
    first, last = month_of_day(span.first), month_of_day(span.last)
    return [
        MonthLevelRow(*row) for row in await fetch(connection, LEVELS, regions=list(regions), first=first, last=last)
    ]
