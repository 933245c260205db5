"""Writing many whole rows: a statement is compiled once, and SQLite's driver gets all rows in one trip to its thread.

A row is a tuple with a value for each column of its table, in order.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Any

from sqlalchemy import Table, TypeDecorator
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Dialect
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store.asking import driver_of

Tuple = tuple[object, ...]
Translations = tuple[tuple[int, Callable[[Any], object]], ...]
"""Places of a row whose values the driver takes in another form, and what makes that of them."""


async def add(connection: AsyncConnection, table: Table, rows: Sequence[Tuple]) -> None:
    """Write new rows."""
    await _write(connection, table, rows, replacing=False)


async def put(connection: AsyncConnection, table: Table, rows: Sequence[Tuple], kept: tuple[str, ...] = ()) -> None:
    """Write rows; where the key of one is taken, the row there becomes this one but for the columns that are kept."""
    await _write(connection, table, rows, replacing=True, kept=kept)


async def _write(
    connection: AsyncConnection, table: Table, rows: Sequence[Tuple], replacing: bool, kept: tuple[str, ...] = ()
) -> None:
    if rows:
        text, translations = _compiled(table, connection.dialect, replacing, kept)
        translated = _translated(rows, translations)
        if connection.dialect.name != "sqlite":
            await connection.exec_driver_sql(text, translated)
            return
        await (await driver_of(connection)).executemany(text, translated)


@lru_cache(maxsize=256)
def _compiled(table: Table, dialect: Dialect, replacing: bool, kept: tuple[str, ...]) -> tuple[str, Translations]:
    statement = (sqlite.insert if dialect.name == "sqlite" else postgresql.insert)(table)
    if replacing:
        keys = [column.name for column in table.primary_key]
        news = {name: statement.excluded[name] for name in table.columns.keys() if name not in (*keys, *kept)}  # noqa: SIM118
        statement = statement.on_conflict_do_update(index_elements=keys, set_=news)
    columns = list(table.columns)
    compiled = statement.compile(dialect=dialect, column_keys=[column.name for column in columns])
    # The types that are ours; numbers, texts and truths go as they are.
    own = [(place, column.type) for place, column in enumerate(columns) if isinstance(column.type, TypeDecorator)]
    processors = ((place, kind.dialect_impl(dialect).bind_processor(dialect)) for place, kind in own)
    return str(compiled), tuple((place, processor) for place, processor in processors if processor)


def _translated(rows: Sequence[Tuple], translations: Translations) -> list[Tuple]:
    """Column by column: many rows have the same flags, and came at the same moment."""
    columns: list[Iterable[object]] = list(zip(*rows, strict=True))
    for place, translate in translations:
        meaning = {value: translate(value) for value in set(columns[place])}
        columns[place] = [meaning[value] for value in columns[place]]
    return list(zip(*columns, strict=True))
