"""Asking for rows: a statement is compiled once, and SQLite's driver gets it in one trip to its thread.

SQLAlchemy's own way takes four trips, and longer than SQLite itself needs for these statements. That is why they are
constants of their modules, and why a list is one value of a statement (`lists.py`), whatever its length.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any, TypeVar

from msgspec import Struct
from sqlalchemy import CompoundSelect, Delete, Insert, Select, Update
from sqlalchemy.dialects import sqlite
from sqlalchemy.ext.asyncio import AsyncConnection

Statement = Select[*tuple[Any, ...]] | CompoundSelect[*tuple[Any, ...]] | Insert | Update | Delete
RowType = TypeVar("RowType", bound=Struct)

NAMED = sqlite.dialect(paramstyle="named")


class Question:
    """A statement as SQLite's driver takes it, and how values go in and come out."""

    def __init__(self, statement: Statement) -> None:
        compiled = statement.compile(dialect=NAMED, compile_kwargs={"render_postcompile": True})
        self.text = str(compiled)
        self._fixed = {name: value for name, value in compiled.params.items() if value is not None}
        ways_in = {name: bind.type.dialect_impl(NAMED).bind_processor(NAMED) for name, bind in compiled.binds.items()}
        self._ways_in: dict[str, Callable[[Any], Any]] = {name: way for name, way in ways_in.items() if way}
        ways_out = (column.type.dialect_impl(NAMED).result_processor(NAMED, None) for column in columns_of(statement))
        self._ways_out: list[tuple[int, Callable[[Any], Any]]] = [
            (place, way) for place, way in enumerate(ways_out) if way
        ]

    def values(self, given: dict[str, object]) -> dict[str, object]:
        """Return the values of the statement as the driver takes them."""
        return self._fixed | {
            name: self._ways_in[name](value) if name in self._ways_in else value for name, value in given.items()
        }

    def rows(self, found: Iterable[Sequence[Any]]) -> list[Sequence[Any]]:
        """Return what the driver gives back as the values that the columns stand for."""
        return [self._row(row) for row in found] if self._ways_out else list(found)

    def _row(self, row: Sequence[Any]) -> Sequence[Any]:
        values = list(row)
        for place, way in self._ways_out:
            values[place] = way(values[place])
        return values


def columns_of(statement: Statement) -> Sequence[Any]:
    """Return the columns of a statement's result."""
    return statement.exported_columns.values()


@cache
def names_of(statement: Statement) -> tuple[str, ...]:
    """Return the names of the columns of a statement's result."""
    return tuple(str(name) for name in statement.exported_columns.keys())  # noqa: SIM118


async def driver_of(connection: AsyncConnection) -> Any:
    """Return the driver's own connection, which SQLAlchemy stands in front of."""
    return (await connection.get_raw_connection()).driver_connection


async def ask_sqlite(connection: AsyncConnection, statement: Statement, values: dict[str, object]) -> Sequence[Any]:
    """Return the rows of a statement from SQLite, within whatever transaction there is."""
    question = _question(statement)
    driver = await driver_of(connection)
    return question.rows(await driver.execute_fetchall(question.text, question.values(values)))


async def fetch(connection: AsyncConnection, statement: Statement, **given: object) -> Sequence[Any]:
    """Return the rows of a statement; none, and nothing is asked, where a list or set that it is given is empty."""
    if any(value == [] or value == set() for value in given.values()):
        return []
    if connection.dialect.name != "sqlite":
        return (await connection.execute(statement, given)).all()
    if not connection.in_transaction():
        await connection.begin()
    return await ask_sqlite(connection, statement, given)


async def tell(connection: AsyncConnection, statement: Statement, **given: object) -> None:
    """Carry out a statement, in a writer's turn, that gives no rows back."""
    if connection.dialect.name == "sqlite":
        await ask_sqlite(connection, statement, given)
    else:
        await connection.execute(statement, given)


async def fetch_as(
    row_type: type[RowType], connection: AsyncConnection, statement: Statement, **given: object
) -> list[RowType]:
    """Return the rows of a statement as rows of a table, whose fields its columns are."""
    names = names_of(statement)
    return [row_type(**dict(zip(names, row, strict=True))) for row in await fetch(connection, statement, **given)]


_question = cache(Question)
