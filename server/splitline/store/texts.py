"""Pages of changes as text: the database puts them together, so that nothing is made of each row here."""

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
    Table,
    bindparam,
    case,
    cast,
    func,
    select,
    true,
    union_all,
)
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.functions import FunctionElement

from splitline.store.changes import changed
from splitline.store.engine import Store
from splitline.store.schema import sequence, sources, tests
from splitline.store.sequence import Head

# How the text of a change ends that says nothing.
SAYS_NOTHING = "null}"

_AFTER = bindparam("after", type_=BigInteger(), required=False)
_UPTO = bindparam("upto", type_=BigInteger(), required=False)
_ENOUGH = bindparam("enough", type_=Integer(), required=False)


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
    def key(self) -> tuple[str, int, int | None]:
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
    enough = {"enough": asked.limit + 1}
    epoch, value, invented, found, last = await store.glance(_outline(len(asked.regions)), _values(asked) | enough)
    return Outline(Head(epoch, value, bool(invented)), asked, found, last)


async def text(store: Store, page: Outline) -> bytes | None:
    """Return the page's changes as JSON, parted by commas; None where an earlier version wrote one without its text.

    A record that has changed since the outline is missing, as it has a number beyond the page now.
    """
    row = await store.glance(_texts(len(page.asked.regions)), _values(page.asked) | {"upto": page.upto})
    rows, texts, joined = row
    return (joined or b"") if texts == rows else None


def _values(asked: Asked) -> dict[str, object]:
    regions = {f"region_{place}": region for place, region in enumerate(asked.regions)}
    return {"after": asked.after, **regions}


@cache
def _outline(regions: int) -> Select[Any]:
    """Numbers only, which the indexes have: of each part the first ones, and of these the first ones again."""
    parts = [
        select(part.order_by("sequence").limit(_ENOUGH).subquery())
        for table in (sources, tests)
        for part in changed(table, [table.c.sequence], _AFTER, _places(regions))
    ]
    first = union_all(*parts).order_by("sequence").limit(_ENOUGH).subquery()
    page = select(func.count().label("found"), func.max(first.c.sequence).label("last")).select_from(first).subquery()
    return select(sequence.c.epoch, sequence.c.value, sequence.c.invented, page).join_from(sequence, page, true())


@cache
def _texts(regions: int) -> Select[Any]:
    """The texts between two numbers, in order."""
    parts = [
        part.where(table.c.sequence <= _UPTO)
        for table in (sources, tests)
        for part in changed(table, [table.c.sequence, _text(table)], _AFTER, _places(regions))
    ]
    page = union_all(*parts).order_by("sequence").subquery()
    wanted: list[Any] = [func.count(), func.count(page.c.text), Utf8(func.aggregate_strings(page.c.text, ","))]
    return select(*wanted).select_from(page)


def _places(regions: int) -> list[ColumnElement[str]]:
    return [bindparam(f"region_{place}", type_=String(), required=False) for place in range(regions)]


def _text(table: Table) -> ColumnElement[Any]:
    """A change as JSON: what it says only if it counts."""
    said = case((table.c.state == "counted", table.c.record + "}"), else_=None)
    return (table.c.envelope + func.coalesce(said, SAYS_NOTHING)).label("text")


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
    return str(compiler.process(func.convert_to(text, "UTF8"), **more))
