"""Recent readings at sources and levels of regions, which new readings are compared with."""

from collections.abc import Collection, Iterable, Sequence

from msgspec import Struct
from sqlalchemy import ColumnElement, Text, bindparam, select, text, type_coerce

from splitline.store.array_param import among
from splitline.store.driver import Connection, Row, Statement, fetch
from splitline.store.rows import month_of_day
from splitline.store.schema import ASIDE, region_months, tests, visits


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


def flagged(code: str) -> ColumnElement[bool]:
    """The condition that a test has a flag, or one that starts with it."""
    return type_coerce(tests.c.flags, Text).contains(code, autoescape=True)


READINGS = select(*(visits.c[name] for name in ReadingRow.__struct_fields__)).where(
    among(visits.c.source, "sources"), visits.c.day.between(bindparam("first"), bindparam("last"))
)
DOUBTED = select(*(tests.c[name] for name in DoubtedRow.__struct_fields__)).where(
    text(ASIDE),
    tests.c.state == "held",
    flagged("out_of_line"),
    among(tests.c.source, "sources"),
    tests.c.day.between(bindparam("first"), bindparam("last")),
    tests.c.sampled == "pump",
)
LEVELS = select(*(region_months.c[name] for name in MonthLevelRow.__struct_fields__)).where(
    among(region_months.c.region, "regions"),
    region_months.c.month.between(bindparam("first"), bindparam("last")),
)


async def readings_at(connection: Connection, sources: Iterable[str], span: Span) -> list[ReadingRow]:
    """Return the visits at these sources."""
    return [ReadingRow(*row) for row in await _at(connection, READINGS, sources, span)]


async def doubted_at(connection: Connection, sources: Iterable[str], span: Span) -> list[DoubtedRow]:
    """Return the tests at these sources that are held as out of line."""
    return [DoubtedRow(*row) for row in await _at(connection, DOUBTED, sources, span)]


async def _at(connection: Connection, statement: Statement, sources: Iterable[str], span: Span) -> Sequence[Row]:
    return await fetch(connection, statement, sources=list(sources), first=span.first, last=span.last)


async def months_of(connection: Connection, regions: Collection[str], span: Span) -> list[MonthLevelRow]:
    """Return the levels of these regions, month by month."""
    first, last = month_of_day(span.first), month_of_day(span.last)
    return [
        MonthLevelRow(*row) for row in await fetch(connection, LEVELS, regions=list(regions), first=first, last=last)
    ]
