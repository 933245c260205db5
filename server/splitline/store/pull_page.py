"""Pages of changes as text: the database joins them, so Python makes no object per row.

A row stores the JSON of its change as everyone sees it (`public`), written where the change gets its number and nowhere
else. One statement reads a page as of one moment, without a transaction: its outline, from the indexes alone, and its
texts unless the caller has them already.
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
# By its key: PostgreSQL takes a table without statistics to have hundreds of rows, each with a page of its own.
_ONE = sequence.c.id == 1
_ENOUGH = bindparam("enough", type_=Integer(), required=False)

Key = tuple[str, int, int | None]
"""What tells a page from another answer to the same question: see `Outline`."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody wants: up to `limit` changes after a number, of some regions or of all."""

    after: int
    regions: tuple[str, ...]
    limit: int


@dataclass(frozen=True, slots=True)
class Outline:
    """Which changes a page has. While `epoch`, `found` and `last` stay the same, so does the page.

    A change keeps its number until there is a newer one of the same record, which gets a higher number. So of the
    numbers up to `last` some may go, and none can come: if there are as many as before, they are the same.

    found: how many changes there are, counting one more than were asked for; last: the number of the last one of these.
    """

    head: Head
    asked: Asked
    found: int
    last: int | None

    @property
    def key(self) -> Key:
        """What tells this page from another answer to the same question."""
        return (self.head.epoch, self.found, self.last)

    @property
    def more(self) -> bool:
        """Whether there is another page already."""
        return self.found > self.asked.limit

    @property
    def upto(self) -> int:
        """Everything up to this number is in this page or was before it."""
        return self.last - 1 if self.more and self.last else self.head.value


async def outline(store: Store, asked: Asked) -> Outline:
    """Return which changes the page has at this moment."""
    return _outlined(asked, await store.one(_outline(len(asked.regions)), _values(asked)))


async def page(store: Store, asked: Asked, known: Key | None = None) -> tuple[Outline, bytes | None]:
    """Return which changes the page has at this moment, and these as JSON, parted by commas.

    known: the key of the page that the asker has; where it is still that one, its changes are neither read nor given.
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
    """How many changes and the last one: numbers only, which the indexes have.

    Of each part the first ones, and of these the first ones again.
    """
    parts = [
        select(part.order_by("sequence").limit(_ENOUGH).subquery())
        for table in (sources, tests)
        for part in _changed(table, [table.c.sequence], regions)
    ]
    first = union_all(*parts).order_by("sequence").limit(_ENOUGH).subquery()
    return select(func.count().label("found"), func.max(first.c.sequence).label("last")).select_from(first).subquery()


def _changed(table: Table, columns: Sequence[ColumnElement[Any]], regions: int) -> list[Select[Any]]:
    """What selects the changes after a number of one table, in parts that are each in the order of an index."""
    later = select(*columns).where(table.c.sequence > _AFTER)
    if not regions:
        return [later]
    places = [bindparam(f"region_{place}", type_=String(), required=False) for place in range(regions)]
    # A record that left a region is told to those who follow it.
    left = select(departures.c.id).where(departures.c.region.in_(places))
    moved = later.where(table.c.id.in_(left), table.c.region.not_in(places))
    return [*(later.where(table.c.region == place) for place in places), moved]


class Utf8(FunctionElement[bytes]):
    """A text as its bytes: turning it into characters and back takes longer than reading it."""

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
