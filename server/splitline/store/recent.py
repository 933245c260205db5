"""What was read lately at some sources and in some regions: what a new reading is compared with."""

from collections.abc import Collection, Iterable
from datetime import datetime

from msgspec import Struct
from sqlalchemy import ColumnElement, Text, select, text, type_coerce
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store.rows import TestRow, portions
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


async def readings_at(connection: AsyncConnection, sources: Iterable[str], span: Span) -> list[ReadingRow]:
    """Return the counted readings from the pump at these sources."""
    found: list[ReadingRow] = []
    columns = [tests.c[name] for name in ReadingRow.__struct_fields__]
    for portion in portions(sources):
        statement = select(*columns).where(tests.c.state == "counted", *_pumped(portion, span))
        found += [ReadingRow(*row) for row in (await connection.execute(statement)).all()]
    return found


async def doubted_at(connection: AsyncConnection, sources: Iterable[str], span: Span) -> list[TestRow]:
    """Return the tests at these sources that are held because they are out of line."""
    found: list[TestRow] = []
    for portion in portions(sources):
        statement = select(tests).where(
            text(ASIDE), tests.c.state == "held", flagged("out_of_line"), *_pumped(portion, span)
        )
        found += [TestRow(**row._mapping) for row in await connection.execute(statement)]
    return found


async def months_of(connection: AsyncConnection, regions: Collection[str], span: Span) -> list[MonthLevelRow]:
    """Return the levels of these regions, month by month."""
    columns = [region_months.c[name] for name in MonthLevelRow.__struct_fields__]
    statement = select(*columns).where(
        region_months.c.region.in_(regions),
        region_months.c.month.between(f"{span.since:%Y-%m}", f"{span.until:%Y-%m}"),
    )
    return [MonthLevelRow(*row) for row in await connection.execute(statement)]


def _pumped(sources: Collection[str], span: Span) -> tuple[ColumnElement[bool], ...]:
    return (
        tests.c.source.in_(sources),
        tests.c.sampled_at.between(span.since, span.until),
        tests.c.sampled == "pump",
    )
