"""What was read lately at some sources and in some regions: what a new reading is compared with."""

from collections.abc import Collection, Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import ColumnElement, Text, bindparam, select, text, type_coerce

from splitline.store.driver import Connection, fetch, fetch_as
from splitline.store.lists import among
from splitline.store.rows import TestRow
from splitline.store.schema import ASIDE, region_months, tests


class Span(Struct, frozen=True):
    """A stretch of time, both ends included."""

    since: datetime
    until: datetime


class ReadingRow(Struct, frozen=True):
    """A counted reading from the pump, without what does not matter for comparing."""

    id: str
    source: str
    contributor: str
    sampled_at: datetime
    content: float
    expanded_uncertainty: float


class MonthLevelRow(Struct, frozen=True):
    """What is usual in a region in one month. centre, spread: robust, % (V/V); tests: how many."""

    region: str
    month: str
    centre: float
    spread: float | None
    tests: int


def flagged(code: str) -> ColumnElement[bool]:
    """The condition that a test carries a code, or one that starts with it."""
    return type_coerce(tests.c.flags, Text).contains(code, autoescape=True)


PUMPED = (
    among(tests.c.source, "sources"),
    tests.c.sampled_at.between(bindparam("since"), bindparam("until")),
    tests.c.sampled == "pump",
)
READINGS = select(*(tests.c[name] for name in ReadingRow.__struct_fields__)).where(tests.c.state == "counted", *PUMPED)
DOUBTED = select(tests).where(text(ASIDE), tests.c.state == "held", flagged("out_of_line"), *PUMPED)
LEVELS = select(*(region_months.c[name] for name in MonthLevelRow.__struct_fields__)).where(
    among(region_months.c.region, "regions"),
    region_months.c.month.between(bindparam("first"), bindparam("last")),
)


async def readings_at(connection: Connection, sources: Iterable[str], span: Span) -> list[ReadingRow]:
    """Return the counted readings from the pump at these sources."""
    return [ReadingRow(*row) for row in await fetch(connection, READINGS, **_at(sources, span))]


async def doubted_at(connection: Connection, sources: Iterable[str], span: Span) -> list[TestRow]:
    """Return the tests at these sources that are held because they are out of line."""
    return await fetch_as(TestRow, connection, DOUBTED, **_at(sources, span))


async def months_of(connection: Connection, regions: Collection[str], span: Span) -> list[MonthLevelRow]:
    """Return the levels of these regions, month by month."""
    first, last = f"{span.since:%Y-%m}", f"{span.until:%Y-%m}"
    return [
        MonthLevelRow(*row) for row in await fetch(connection, LEVELS, regions=list(regions), first=first, last=last)
    ]


def _at(sources: Iterable[str], span: Span) -> dict[str, object]:
    return {"sources": list(sources), "since": span.since, "until": span.until}
