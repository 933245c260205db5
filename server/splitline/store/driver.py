"""Statements are built with SQLAlchemy, compiled once per engine, and executed by the engine's own driver.

So statements are module constants, and a list of any length is one parameter (`array_param.py`). A row to write is a
tuple with a value for each column of its table, in order.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any, ClassVar, TypeVar

from msgspec import Struct
from sqlalchemy import (
    CompoundSelect,
    Delete,
    FromClause,
    Insert,
    Select,
    String,
    Text,
    TextualSelect,
    TypeDecorator,
    Update,
    bindparam,
    func,
    select,
)
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.dialects.postgresql import ARRAY
from sqlalchemy.engine import Dialect
from sqlalchemy.sql.expression import TableClause
from sqlalchemy.types import NULLTYPE, TypeEngine

Statement = Select[*tuple[Any, ...]] | CompoundSelect[*tuple[Any, ...]] | TextualSelect | Insert | Update | Delete
RowType = TypeVar("RowType", bound=Struct)
Row = Sequence[Any]
Way = Callable[[Any], Any]
"""Converts a value to what the driver takes, or back."""

PAGE = 1000
# Size of the cache of compiled statements: larger than their number, but bounded, for statements built ad hoc.
MOST = 1024


class Connection:
    """A driver's connection. values: in the order of the statement's parameters."""

    dialect: Dialect
    beginnings: ClassVar[Mapping[str, str]]
    """The statement that begins each kind of transaction."""
    lost: tuple[type[Exception], ...] = ()
    """Exceptions of a connection whose server is gone or was restarted."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver
        self._begun = False

    async def run(self, text: str) -> None:
        """Execute statements without parameters."""
        raise NotImplementedError

    async def rows(self, text: str, values: Row = ()) -> Sequence[Row]:
        """Execute a statement and return its rows."""
        raise NotImplementedError

    async def insert(self, text: str, columns: Sequence[Sequence[Any]]) -> None:
        """Execute an insert, with the values by column."""
        raise NotImplementedError

    def pages(self, text: str, values: Row) -> AsyncIterator[Sequence[Row]]:
        """Yield the rows of a statement, `PAGE` at a time."""
        raise NotImplementedError

    async def begin(self, kind: str) -> None:
        """Begin a transaction."""
        self._begun = True
        await self.run(self.beginnings[kind])

    async def commit(self) -> None:
        """Commit the transaction."""
        await self.run("COMMIT")
        self._begun = False

    async def rollback(self) -> None:
        """Roll back the open transaction, if any."""
        if self._begun:
            await self.run("ROLLBACK")
            self._begun = False


class Compiled:
    """A statement compiled for one driver, with converters for parameters and results."""

    def __init__(self, statement: Statement, dialect: Dialect) -> None:
        compiled: Any = statement.compile(dialect=dialect, compile_kwargs={"render_postcompile": True})
        columns = statement.exported_columns
        self.text = str(compiled)
        self.names = tuple(str(name) for name in columns.keys())  # noqa: SIM118
        self._order: Sequence[str] = compiled.positiontup or ()
        ways = {name: _as_kept(bind.type, dialect).bind_processor(dialect) for name, bind in compiled.binds.items()}
        self._ways_in = {name: way for name, way in ways.items() if way}
        needed = {name for name, bind in compiled.binds.items() if bind.required}
        fixed = compiled.construct_params(_check=False)
        self._fixed = self._translated({name: value for name, value in fixed.items() if name not in needed})
        ways_out = (_as_kept(one.type, dialect).result_processor(dialect, None) for one in columns.values())
        self._ways_out = [(place, way) for place, way in enumerate(ways_out) if way]

    def values(self, given: dict[str, object]) -> list[object]:
        """Return the parameters as the driver takes them. Raises `KeyError` if one is missing."""
        values = self._fixed | self._translated(given)
        return [values[name] for name in self._order]

    def rows(self, found: Sequence[Row]) -> Sequence[Row]:
        """Convert the driver's rows to the columns' Python values."""
        if not self._ways_out:
            return found
        changed = [list(row) for row in found]
        for values in changed:
            for place, way in self._ways_out:
                values[place] = way(values[place])
        return changed

    def _translated(self, values: dict[str, object]) -> dict[str, object]:
        ways = self._ways_in
        return {name: ways[name](value) if name in ways else value for name, value in values.items()}


async def fetch(connection: Connection, statement: Statement, **given: object) -> Sequence[Any]:
    """Return the rows of a statement; none, without a query, if a list or set parameter is empty."""
    if any(value == [] or value == set() for value in given.values()):
        return []
    question = _compiled(statement, connection.dialect)
    return question.rows(await connection.rows(question.text, question.values(given)))


async def fetch_as(
    row_type: type[RowType], connection: Connection, statement: Statement, **given: object
) -> list[RowType]:
    """Return the rows of a statement as structs whose fields are its columns."""
    names = _compiled(statement, connection.dialect).names
    return [row_type(**dict(zip(names, row, strict=True))) for row in await fetch(connection, statement, **given)]


async def execute(connection: Connection, statement: Statement, **given: object) -> None:
    """Execute a statement without results, in a write transaction."""
    await fetch(connection, statement, **given)


async def stream(connection: Connection, statement: Statement, **given: object) -> AsyncIterator[Sequence[Row]]:
    """Yield the rows of a statement in pages, so that memory stays bounded."""
    question = _compiled(statement, connection.dialect)
    async for page in connection.pages(question.text, question.values(given)):
        yield question.rows(page)


async def add(connection: Connection, table: FromClause, rows: Sequence[Row]) -> None:
    """Write new rows."""
    await _write(connection, table, rows)


async def put(connection: Connection, table: FromClause, rows: Sequence[Row], kept: Sequence[str] = ()) -> None:
    """Upsert rows; an existing row is overwritten except for the columns in `kept`.

    In a table that is nothing but its key, existing rows stay.
    """
    names = [column.name for column in table.primary_key]
    news = tuple(column.name for column in table.columns if column.name not in (*names, *kept))
    await _write(connection, table, rows, news)


async def _write(
    connection: Connection, table: FromClause, rows: Sequence[Row], news: tuple[str, ...] | None = None
) -> None:
    if rows:
        text, ways = _insert(table, connection.dialect, news)
        await connection.insert(text, _column_by_column(rows, ways))


@lru_cache(maxsize=MOST)
def _insert(table: TableClause, dialect: Dialect, news: tuple[str, ...] | None) -> tuple[str, list[tuple[int, Way]]]:
    """The insert statement. On PostgreSQL each column is one array parameter, so that it takes any number of rows."""
    columns = list(table.columns)
    if dialect.name == "sqlite":
        statement: Any = sqlite.insert(table)
    else:
        names = [column.name for column in columns]
        given = func.unnest(*(bindparam(column.name, type_=ARRAY(_whole(column.type))) for column in columns))
        rows = given.table_valued(*names).render_derived("given")
        statement = postgresql.insert(table).from_select(names, select(rows))
    if news:
        keys = [column.name for column in table.primary_key]
        values = {name: statement.excluded[name] for name in news}
        statement = statement.on_conflict_do_update(index_elements=keys, set_=values)
    elif news is not None:
        statement = statement.on_conflict_do_nothing()
    compiled = statement.compile(dialect=dialect)
    ways = [_as_kept(column.type, dialect).bind_processor(dialect) for column in columns]
    return str(compiled), [(place, way) for place, way in enumerate(ways) if way]


def _column_by_column(rows: Sequence[Row], ways: Iterable[tuple[int, Way]]) -> Sequence[Sequence[Any]]:
    """Values by column. Rows often share flags and times, so each distinct value is converted once."""
    columns: list[Sequence[Any]] = list(zip(*rows, strict=True))
    for place, way in ways:
        meaning = {value: way(value) for value in set(columns[place])}
        columns[place] = [meaning[value] for value in columns[place]]
    return columns


def _whole(kind: TypeEngine[Any]) -> TypeEngine[Any]:
    """A type without a length: PostgreSQL truncates in a cast to a length, but refuses an overlong value."""
    return Text() if isinstance(kind, String) else kind


def _as_kept(kind: TypeEngine[Any], dialect: Dialect) -> TypeEngine[Any]:
    """The driver's type of a column; asyncpg converts all but our own types itself."""
    plain = dialect.name != "sqlite" and not isinstance(kind, TypeDecorator)
    return NULLTYPE if plain else kind.dialect_impl(dialect)


_compiled = lru_cache(maxsize=MOST)(Compiled)
