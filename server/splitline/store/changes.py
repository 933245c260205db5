"""Changes in the order in which they were committed: what a phone pulls."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Generic, NamedTuple, TypeVar

from sqlalchemy import ColumnElement, Select, Table, case, select, union_all
from sqlalchemy import Row as Selected
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store import sequence
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.schema import departures, sources, tests


class ChangeText(NamedTuple):
    """A change as JSON text: `envelope` up to where the record stands, then the record.

    envelope: None in a row that an earlier version wrote. record: None of what does not count.
    """

    sequence: int
    envelope: str | None
    record: str | None


Change = TypeVar("Change", Row, ChangeText)


@dataclass(frozen=True, slots=True)
class Page(Generic[Change]):
    """Some changes in order. upto: everything up to this number is in this page or was before it."""

    rows: tuple[Change, ...]
    upto: int
    more: bool


async def page(
    connection: AsyncConnection, head: sequence.Head, after: int, regions: Collection[str], limit: int
) -> Page[Row]:
    """Return up to `limit` changes after a number, of some regions or of all.

    head: read before, on this connection. All numbers up to it are committed; a row that is changed meanwhile has
    moved beyond it, and comes with a later page. So nothing is skipped, though the two tables are read in turn.
    """
    span = _Span(after, head.value, regions, limit + 1)
    found: list[Row] = [
        SourceRow(**dict(zip(sources.c.keys(), row, strict=True)))
        for row in await _read(connection, sources, list(sources.c), span)
    ]
    found += [
        TestRow(**dict(zip(tests.c.keys(), row, strict=True)))
        for row in await _read(connection, tests, list(tests.c), span)
    ]
    return _first(found, head.value, limit)


async def texts(
    connection: AsyncConnection, head: sequence.Head, after: int, regions: Collection[str], limit: int
) -> Page[ChangeText]:
    """Return the same changes as `page`, as the texts that were kept of them."""
    span = _Span(after, head.value, regions, limit + 1)
    found: list[ChangeText] = []
    for table in (sources, tests):
        counted = case((table.c.state == "counted", table.c.record), else_=None).label("record")
        rows = await _read(connection, table, [table.c.sequence, table.c.envelope, counted], span)
        found += map(ChangeText._make, rows)
    return _first(found, head.value, limit)


@dataclass(frozen=True, slots=True)
class _Span:
    after: int
    upto: int
    regions: Collection[str]
    limit: int


async def _read(
    connection: AsyncConnection, table: Table, columns: list[ColumnElement[Any]], span: _Span
) -> Sequence[Selected[Any]]:
    """The changed rows of one table, of each region its first ones: so a page costs no more than its regions hold."""

    within = (table.c.sequence > span.after, table.c.sequence <= span.upto)

    def first(*where: ColumnElement[bool]) -> Select[Any]:
        return select(*columns).where(*within, *where).order_by(table.c.sequence).limit(span.limit)

    if not span.regions:
        return await _rows(connection, first())
    # A record that left a region is told to those who follow it.
    left = select(departures.c.id).where(departures.c.region.in_(span.regions))
    moved = select(*columns).where(table.c.id.in_(left), table.c.region.not_in(span.regions), *within)
    parts = [first(table.c.region == region).subquery() for region in dict.fromkeys(span.regions)]
    union = union_all(*(select(part) for part in parts), moved).subquery()
    return await _rows(connection, select(union).order_by(union.c.sequence).limit(span.limit))


async def _rows(connection: AsyncConnection, statement: Select[Any]) -> Sequence[Selected[Any]]:
    rows: Sequence[Selected[Any]] = (await connection.execute(statement)).all()
    return rows


def _first(found: list[Change], upto: int, limit: int) -> Page[Change]:
    ordered = sorted(found, key=attrgetter("sequence"))
    if len(ordered) <= limit:
        return Page(tuple(ordered), upto, more=False)
    return Page(tuple(ordered[:limit]), ordered[limit - 1].sequence, more=True)
