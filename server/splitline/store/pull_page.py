"""Pages of changes as text: the database concatenates them, so Python makes no object per row.

A row stores the public JSON of its change (`public`), written only where the change gets its number. One statement,
without a transaction, reads a page from one snapshot: its outline, from the indexes alone, and its texts unless the
caller already has them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import (
    BigInteger,
    ColumnElement,
    Integer,
    LargeBinary,
    Select,
    String,
    Subquery,
    Table,
    and_,
    bindparam,
    case,
    cast,
    func,
    null,
    select,
    true,
    union_all,
)
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.functions import FunctionElement

from splitline.store.engine import Store
from splitline.store.schema import departures, sequence, sources, tests
from splitline.store.sequence import HEAD, Head

_AFTER = bindparam("after", type_=BigInteger(), required=False)
# By primary key: without statistics PostgreSQL plans for hundreds of rows, each on its own page.
_ONE = sequence.c.id == 1
_ENOUGH = bindparam("enough", type_=Integer(), required=False)

Key = tuple[str, int, int | None]
"""Identifies a page among answers to the same request, see `Outline`."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A request: up to `limit` changes after a number, of some regions or of all."""

    after: int
    regions: tuple[str, ...]
    limit: int


@dataclass(frozen=True, slots=True)
class Outline:
    """The extent of a page. While `epoch`, `found` and `last` are unchanged, so is the page.

    A change keeps its number until a newer change of the same record, which gets a higher number. So numbers up to
    `last` can disappear but never appear: if the count is the same, so are the changes.

    found: number of changes, up to one more than requested; last: the number of the last of these.
    """

    head: Head
    asked: Asked
    found: int
    last: int | None

    @property
    def key(self) -> Key:
        """Identifies this page among answers to the same request."""
        return (self.head.epoch, self.found, self.last)

    @property
    def more(self) -> bool:
        """Whether there is a next page."""
        return self.found > self.asked.limit

    @property
    def upto(self) -> int:
        """The cursor: every change up to this number is in this page or an earlier one."""
        return self.last - 1 if self.more and self.last else self.head.value


async def outline(store: Store, asked: Asked) -> Outline:
    """Return the current outline of a page."""
    return _outlined(asked, await store.one(_outline(len(asked.regions)), _values(asked)))


async def page(store: Store, asked: Asked, known: Key | None = None) -> tuple[Outline, bytes | None]:
    """Return a page's current outline, and its changes as JSON separated by commas.

    known: the key of the caller's page; if it is still current, the changes are not read, and None is returned.
    """
    epoch, found, last = known or ("", 0, None)
    having = {"known_epoch": epoch, "known_found": found, "known_last": last}
    *outlined, text = await store.one(_page(len(asked.regions)), _values(asked) | having)
    return _outlined(asked, outlined), text


def _values(asked: Asked) -> dict[str, object]:
    regions = {f"region_{place}": region for place, region in enumerate(asked.regions)}
    return {"after": asked.after, "enough": asked.limit + 1, **regions}


def _outlined(asked: Asked, row: Sequence[Any]) -> Outline:
    *head, found, last = row
    return Outline(Head(*head), asked, found, last)


@cache
def _outline(regions: int) -> Select[Any]:
    return select(*HEAD, span := _span(regions)).join_from(sequence, span, true()).where(_ONE)


@cache
def _page(regions: int) -> Select[Any]:
    span = _span(regions)
    upto = case((span.c.found == _ENOUGH, span.c.last - 1), else_=sequence.c.value)
    parts = [
        part.where(table.c.sequence <= upto).correlate(span, sequence)
        for table in (sources, tests)
        for part in _changed(table, [table.c.sequence, table.c.public.label("text")], regions)
    ]
    changes = union_all(*parts).order_by("sequence").subquery()
    joined = Utf8(func.coalesce(func.aggregate_strings(changes.c.text, ","), ""))
    text = select(joined).select_from(changes).correlate(span, sequence).scalar_subquery()
    is_known = and_(
        sequence.c.epoch == bindparam("known_epoch", type_=String(), required=False),
        span.c.found == bindparam("known_found", type_=Integer(), required=False),
        span.c.last.is_not_distinct_from(bindparam("known_last", type_=BigInteger(), required=False)),
    )
    return select(*HEAD, span, case((is_known, null()), else_=text)).join_from(sequence, span, true()).where(_ONE)


def _span(regions: int) -> Subquery:
    """Count of changes and the last number, from the indexes alone.

    Takes the first ones of each part, then the first ones of these.
    """
    parts = [
        select(part.order_by("sequence").limit(_ENOUGH).subquery())
        for table in (sources, tests)
        for part in _changed(table, [table.c.sequence], regions)
    ]
    first = union_all(*parts).order_by("sequence").limit(_ENOUGH).subquery()
    return select(func.count().label("found"), func.max(first.c.sequence).label("last")).select_from(first).subquery()


def _changed(table: Table, columns: Sequence[ColumnElement[Any]], regions: int) -> list[Select[Any]]:
    """Queries for one table's changes after a number, in parts that each follow the order of an index."""
    later = select(*columns).where(table.c.sequence > _AFTER)
    if not regions:
        return [later]
    places = [bindparam(f"region_{place}", type_=String(), required=False) for place in range(regions)]
    # A record that left a region is also sent to those who follow that region.
    left = select(departures.c.id).where(departures.c.region.in_(places))
    moved = later.where(table.c.id.in_(left), table.c.region.not_in(places))
    return [*(later.where(table.c.region == place) for place in places), moved]


class Utf8(FunctionElement[bytes]):
    """A text as UTF-8 bytes: decoding and encoding would take longer than reading it."""

    type = LargeBinary()
    inherit_cache = True


@compiles(Utf8, "sqlite")
def _on_sqlite(element: Utf8, compiler: Any, **more: Any) -> str:
    (text,) = element.clauses
    return str(compiler.process(cast(text, LargeBinary), **more))


@compiles(Utf8, "postgresql")
def _on_postgresql(element: Utf8, compiler: Any, **more: Any) -> str:
    (text,) = element.clauses
    return str(compiler.process(func.textsend(text), **more))
