"""Rows are written as tuples: their fields have to be the columns of their tables, in the same order."""

import sqlite3
from datetime import UTC, datetime

import pytest
from msgspec import Struct
from sqlalchemy import Table
from sqlalchemy.exc import IntegrityError

from splitline.store import rows, schema, writing
from splitline.store.decisions import DecisionRow
from splitline.store.engine import Store
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.lessons import LessonsRow, OffsetRow
from splitline.store.merges import MergeRow

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
ROWS = [
    (rows.SourceRow, schema.sources),
    (rows.TestRow, schema.tests),
    (MergeRow, schema.merges),
    (DecisionRow, schema.decisions),
    (SourceFiguresRow, schema.source_figures),
    (RegionMonthRow, schema.region_months),
    (LessonsRow, schema.region_lessons),
    (OffsetRow, schema.tube_offsets),
]


@pytest.mark.parametrize(("row", "table"), ROWS, ids=lambda value: getattr(value, "name", ""))
def test_the_fields_of_a_row_are_the_columns_of_its_table(row: type[Struct], table: Table) -> None:
    assert list(row.__struct_fields__) == table.columns.keys()


async def test_a_row_that_is_there_already_is_no_fault_of_the_database(store: Store) -> None:
    """A bug passes as what it is; it is not taken for a database that is away, which a phone would ask again."""
    row = ("somebody", "digest", NOW)

    async def write_it() -> None:
        async with store.write() as connection:
            await writing.add(connection, schema.contributors, [row])

    await write_it()
    with pytest.raises((IntegrityError, sqlite3.IntegrityError)):
        await write_it()
    async with store.write() as connection:
        await writing.put(connection, schema.contributors, [row])
