"""Changes in the order in which they were committed: what a phone pulls."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from sqlalchemy import ColumnElement, Select, Table, select, union_all

from splitline.store import sequence
from splitline.store.driver import Connection, fetch
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.schema import departures, sources, tests


@dataclass(frozen=True, slots=True)
class Page:
    """Some changes in order. upto: everything up to this number is in this page or was before it."""

    rows: tuple[Row, ...]
    upto: int
    more: bool


async def page(connection: Connection, head: sequence.Head, after: int, regions: Collection[str], limit: int) -> Page:
    """Return up to `limit` changes after a number, of some regions or of all.

    head: read before, on this connection. All numbers up to it are committed; a row that is changed meanwhile has
    moved beyond it, and comes with a later page. So nothing is skipped, though the two tables are read in turn.
    """
    span = _Span(after, head.value, tuple(dict.fromkeys(regions)), limit + 1)
    found: list[Row] = [
        SourceRow(**dict(zip(sources.c.keys(), row, strict=True))) for row in await _read(connection, sources, span)
    ]
    found += [TestRow(**dict(zip(tests.c.keys(), row, strict=True))) for row in await _read(connection, tests, span)]
    return _first(found, head.value, limit)


def changed(
    table: Table, columns: Sequence[ColumnElement[Any]], after: Any, regions: Sequence[Any]
) -> list[Select[Any]]:
    """Return what selects the changes after a number of one table, in parts that are each in the order of an index.

    after, regions: values, or parameters that stand for them; without a region, those of all.
    """
    later = select(*columns).where(table.c.sequence > after)
    if not regions:
        return [later]
    # A record that left a region is told to those who follow it.
    left = select(departures.c.id).where(departures.c.region.in_(regions))
    moved = later.where(table.c.id.in_(left), table.c.region.not_in(regions))
    return [*(later.where(table.c.region == region) for region in regions), moved]


@dataclass(frozen=True, slots=True)
class _Span:
    after: int
    upto: int
    regions: tuple[str, ...]
    limit: int


async def _read(connection: Connection, table: Table, span: _Span) -> Sequence[Sequence[Any]]:
    """The changed rows of one table, of each part its first ones: so a page costs no more than its regions hold."""
    parts = [
        part.where(table.c.sequence <= span.upto).order_by(table.c.sequence).limit(span.limit).subquery()
        for part in changed(table, list(table.c), span.after, span.regions)
    ]
    union = union_all(*(select(part) for part in parts)).subquery()
    first = select(union).order_by(union.c.sequence).limit(span.limit)
    return await fetch(connection, first)


def _first(found: list[Row], upto: int, limit: int) -> Page:
    ordered = sorted(found, key=attrgetter("sequence"))
    if len(ordered) <= limit:
        return Page(tuple(ordered), upto, more=False)
    return Page(tuple(ordered[:limit]), ordered[limit - 1].sequence, more=True)
