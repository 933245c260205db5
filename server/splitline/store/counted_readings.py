"""Recent readings at sources and levels of regions, which new readings are compared with."""

from collections.abc import Collection, Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import ColumnElement, Text, bindparam, select, text, type_coerce

from splitline.store.array_param import among
from splitline.store.driver import Connection, fetch
from splitline.store.rows import day_of
from splitline.store.schema import ASIDE, region_months, tests, visits


class Span(Struct, frozen=True):
    """A time span, both ends included."""

    since: datetime
    until: datetime


class ReadingRow(Struct, frozen=True):
    """A visit, with the fields needed for comparison."""

    source: str
    contributor: str
    sampled_at: datetime
    content: float
    own_variance: float
    shared_uncertainty: float


class DoubtedRow(Struct, frozen=True):
    """A test held as out of line, with the fields needed for comparison."""

    id: str
    source: str
    contributor: str
    sampled_at: datetime
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
    tests.c.sampled_at.between(bindparam("since"), bindparam("until")),
    tests.c.sampled == "pump",
)
LEVELS = select(*(region_months.c[name] for name in MonthLevelRow.__struct_fields__)).where(
    among(region_months.c.region, "regions"),
    region_months.c.month.between(bindparam("first"), bindparam("last")),
)


async def readings_at(connection: Connection, sources: Iterable[str], span: Span) -> list[ReadingRow]:
    """Return the visits at these sources."""
    first, last = day_of(span.since), day_of(span.until)
    return [
        ReadingRow(*row) for row in await fetch(connection, READINGS, sources=list(sources), first=first, last=last)
    ]


async def doubted_at(connection: Connection, sources: Iterable[str], span: Span) -> list[DoubtedRow]:
    """Return the tests at these sources that are held as out of line."""
    given = {"sources": list(sources), "since": span.since, "until": span.until}
    return [DoubtedRow(*row) for row in await fetch(connection, DOUBTED, **given)]


async def months_of(connection: Connection, regions: Collection[str], span: Span) -> list[MonthLevelRow]:
    """Return the levels of these regions, month by month."""
    first, last = f"{span.since:%Y-%m}", f"{span.until:%Y-%m}"
    return [
        MonthLevelRow(*row) for row in await fetch(connection, LEVELS, regions=list(regions), first=first, last=last)
    ]
