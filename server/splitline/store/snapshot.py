"""The whole database as plain rows, independent of version and engine, for backups."""

from collections.abc import AsyncIterator, Iterable, Sequence
from datetime import datetime
from itertools import groupby, islice
from operator import itemgetter
from typing import Any, Literal

from msgspec import Struct
from sqlalchemy import BigInteger, Boolean, Double, Text, column, delete, func, select, table, text
from sqlalchemy.sql.expression import TableClause

from splitline.errors import SplitlineError
from splitline.store.driver import PAGE, Connection, add, execute, fetch, stream
from splitline.store.faults import translated
from splitline.store.types import Instant

Kind = Literal["text", "whole", "real", "truth", "moment"]
"""Column types, independent of the engine."""

VERSIONS = "alembic_version"
KINDS: dict[str, Kind] = {
    **dict.fromkeys(("text", "varchar", "character varying"), "text"),
    **dict.fromkeys(("integer", "bigint"), "whole"),
    **dict.fromkeys(("double", "double precision"), "real"),
    **dict.fromkeys(("datetime", "timestamp with time zone"), "moment"),
    "boolean": "truth",
}
"""By the engines' names of types."""
TYPES: dict[Kind, Any] = {"text": Text, "whole": BigInteger, "real": Double, "truth": Boolean, "moment": Instant}
COLUMNS = {
    "sqlite": text(
        "SELECT tables.name, fields.name, lower(fields.type) FROM sqlite_master AS tables "
        "JOIN pragma_table_info(tables.name) AS fields "
        "WHERE tables.type = 'table' AND tables.name NOT LIKE 'sqlite%' ORDER BY tables.name, fields.cid"
    ).columns(),
    "postgresql": text(
        "SELECT tables.relname, fields.attname, format_type(fields.atttypid, NULL) FROM pg_class AS tables "
        "JOIN pg_attribute AS fields ON fields.attrelid = tables.oid AND attnum > 0 AND NOT attisdropped "
        "WHERE relnamespace = CAST(current_schema() AS regnamespace) AND relkind IN ('r', 'p') AND NOT relispartition "
        "ORDER BY tables.relname, fields.attnum"
    ).columns(),
}
"""Every column of every table, in order: table, name, type."""
VERSION = select(column("version_num", Text)).select_from(table(VERSIONS))
PYTHON: dict[Kind, type] = {"text": str, "whole": int, "real": float, "truth": bool, "moment": datetime}


class Misfit(SplitlineError):
    """Rows do not fit their tables."""


class TableForm(Struct, frozen=True, kw_only=True):
    """A table: its columns in order, and its number of rows."""

    name: str
    columns: dict[str, Kind]
    rows: int

    @property
    def row_type(self) -> Any:
        """The type of one row, for msgspec."""
        return tuple[tuple(PYTHON[kind] | None for kind in self.columns.values())]  # type: ignore[misc]


async def shapes(connection: Connection) -> dict[str, dict[str, Kind]]:
    """Return the columns of all tables."""
    return {
        name: {field: KINDS[kind.partition("(")[0]] for _, field, kind in fields}
        for name, fields in groupby(await _columns(connection), key=itemgetter(0))
        if name != VERSIONS
    }


async def forms(connection: Connection) -> list[TableForm]:
    """Return the tables as they are in the database."""
    found = []
    for name, columns in (await shapes(connection)).items():
        [(count,)] = await fetch(connection, select(func.count()).select_from(table(name)))
        found.append(TableForm(name=name, columns=columns, rows=count))
    return found


async def version(connection: Connection) -> str | None:
    """Return the version of the schema; None if our tables do not exist."""
    if not any(name == VERSIONS for name, *_ in await _columns(connection)):
        return None
    return next((str(found) for (found,) in await fetch(connection, VERSION)), None)


async def is_empty(connection: Connection) -> bool:
    """Return whether a database has no table at all."""
    return not await _columns(connection)


def pages(connection: Connection, form: TableForm) -> AsyncIterator[Sequence[Sequence[Any]]]:
    """Yield the rows of a table in pages, so that memory stays bounded."""
    return stream(connection, select(*_clause(form).columns))


async def fill(connection: Connection, form: TableForm, rows: Iterable[Sequence[Any]]) -> None:
    """Replace the contents of a table by these rows. Raises `Misfit`."""
    clause = _clause(form)
    await execute(connection, delete(clause))
    left = iter(rows)
    while page := list(islice(left, PAGE)):
        try:
            with translated():
                await add(connection, clause, page)
        except SplitlineError:
            raise
        except Exception as fault:  # Either driver's exception for values that do not fit.
            raise Misfit(f"{form.name}: {str(fault).splitlines()[0]}") from fault


async def _columns(connection: Connection) -> Sequence[Sequence[str]]:
    return await fetch(connection, COLUMNS[connection.dialect.name])


def _clause(form: TableForm) -> TableClause:
    return table(form.name, *(column(name, TYPES[kind]) for name, kind in form.columns.items()))
