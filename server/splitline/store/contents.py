"""Everything in a database as plain rows, whatever its version and engine: what a backup carries."""

from collections.abc import AsyncIterator, Iterable, Sequence
from datetime import datetime
from itertools import islice
from typing import Any, Literal

from msgspec import Struct
from sqlalchemy import (
    BigInteger,
    Boolean,
    Connection,
    DateTime,
    Double,
    Float,
    Integer,
    Numeric,
    Text,
    column,
    delete,
    func,
    insert,
    inspect,
    select,
    table,
)
from sqlalchemy.exc import DBAPIError
from sqlalchemy.ext.asyncio import AsyncConnection
from sqlalchemy.sql.expression import TableClause
from sqlalchemy.types import String, TypeEngine

from splitline.errors import SplitlineError
from splitline.store.faults import is_passing
from splitline.store.types import Instant

Kind = Literal["text", "whole", "real", "truth", "moment"]
"""What a column holds, in words that do not change with the engine."""

VERSIONS = "alembic_version"
PAGE = 1000
# Asked in this order: to SQLAlchemy a truth value is no number, but a floating one is numeric.
KINDS: tuple[tuple[Kind, tuple[type[TypeEngine[Any]], ...]], ...] = (
    ("truth", (Boolean,)),
    ("moment", (DateTime,)),
    ("whole", (Integer,)),
    ("real", (Double, Float, Numeric)),
    ("text", (String,)),
)
TYPES: dict[Kind, TypeEngine[Any]] = {
    "text": Text(),
    "whole": BigInteger(),
    "real": Double(),
    "truth": Boolean(),
    "moment": Instant(),
}
PYTHON: dict[Kind, type] = {"text": str, "whole": int, "real": float, "truth": bool, "moment": datetime}


class Misfit(SplitlineError):
    """Rows do not fit into the tables they are meant for."""


class TableForm(Struct, frozen=True, kw_only=True):
    """A table: its columns in order, and how many rows it has."""

    name: str
    columns: dict[str, Kind]
    rows: int

    @property
    def row_type(self) -> Any:
        """The type of one row, for msgspec."""
        return tuple[tuple(PYTHON[kind] | None for kind in self.columns.values())]  # type: ignore[misc]


async def shapes(connection: AsyncConnection) -> dict[str, dict[str, Kind]]:
    """Return the columns of every table there is; who is referred to comes before who refers."""
    return await connection.run_sync(_shapes)


async def forms(connection: AsyncConnection) -> list[TableForm]:
    """Return the tables as they are in the database."""
    found = []
    for name, columns in (await shapes(connection)).items():
        count = (await connection.execute(select(func.count()).select_from(table(name)))).scalar_one()
        found.append(TableForm(name=name, columns=columns, rows=count))
    return found


async def version(connection: AsyncConnection) -> str | None:
    """Return the version of the schema; None where there are no tables of ours."""
    if not await connection.run_sync(lambda one: inspect(one).has_table(VERSIONS)):
        return None
    return (await connection.execute(select(column("version_num")).select_from(table(VERSIONS)))).scalar()


async def is_empty(connection: AsyncConnection) -> bool:
    """Return whether a database has no table at all."""
    return not await connection.run_sync(lambda one: inspect(one).get_table_names())


async def pages(connection: AsyncConnection, form: TableForm) -> AsyncIterator[Sequence[Sequence[Any]]]:
    """Give out the rows of a table, some at a time, so that memory does not grow with it."""
    result = await connection.stream(select(*_clause(form).columns))
    async for page in result.partitions(PAGE):
        yield [tuple(row) for row in page]


async def fill(connection: AsyncConnection, form: TableForm, rows: Iterable[Sequence[Any]]) -> None:
    """Replace what a table holds by these rows. Raises `Misfit`."""
    clause = _clause(form)
    await connection.execute(delete(clause))
    left = iter(rows)
    while page := [dict(zip(form.columns, row, strict=True)) for row in islice(left, PAGE)]:
        try:
            await connection.execute(insert(clause), page)
        except DBAPIError as fault:
            if is_passing(fault):
                raise
            raise Misfit(f"{form.name}: {str(fault.orig).splitlines()[0]}") from fault


def _shapes(connection: Connection) -> dict[str, dict[str, Kind]]:
    asked = inspect(connection)
    columns = {name: found for (_, name), found in asked.get_multi_columns().items()}
    names = [name for name, _ in asked.get_sorted_table_and_fkc_names() if name not in (None, VERSIONS)]
    return {str(name): {one["name"]: _kind(one["type"]) for one in columns[str(name)]} for name in names}


def _kind(wanted: TypeEngine[Any]) -> Kind:
    return next(kind for kind, types in KINDS if isinstance(wanted, types))


def _clause(form: TableForm) -> TableClause:
    return table(form.name, *(column(name, TYPES[kind]) for name, kind in form.columns.items()))
