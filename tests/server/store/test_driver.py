"""Statements and rows on both drivers: values round-trip, and row fields match table columns."""

import sqlite3
from datetime import UTC, datetime, timedelta, timezone

import asyncpg
import pytest
from msgspec import Struct
from sqlalchemy import Table, bindparam, select

from splitline.store import driver, rows, schema
from splitline.store.decisions import DecisionRow
from splitline.store.engine import Store
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.merges import MergeRow
from splitline.store.photos import PhotoRow
from splitline.store.region_priors import OffsetRow, RegionPriorsRow

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
ROWS = [
    (rows.SourceRow, schema.sources),
    (rows.TestRow, schema.tests),
    (MergeRow, schema.merges),
    (DecisionRow, schema.decisions),
    (SourceFiguresRow, schema.source_figures),
    (RegionMonthRow, schema.region_months),
    (RegionPriorsRow, schema.region_lessons),
    (OffsetRow, schema.tube_offsets),
    (PhotoRow, schema.photos),
]


@pytest.mark.parametrize(("row", "table"), ROWS, ids=lambda value: getattr(value, "name", ""))
def test_the_fields_of_a_row_are_the_columns_of_its_table(row: type[Struct], table: Table) -> None:
    assert list(row.__struct_fields__) == table.columns.keys()


async def test_a_duplicate_row_is_not_reported_as_an_unavailable_database(store: Store) -> None:
    """A bug is not mistaken for an unavailable database, which phones would retry."""
    row = ("somebody", "digest", NOW)

    async def write_it() -> None:
        async with store.write() as connection:
            await driver.add(connection, schema.contributors, [row])

    await write_it()
    with pytest.raises((asyncpg.UniqueViolationError, sqlite3.IntegrityError)):
        await write_it()
    async with store.write() as connection:
        await driver.put(connection, schema.contributors, [row])


async def test_every_type_is_read_back_as_written(store: Store) -> None:
    """Our own types, booleans and null, as statement parameters, in rows, and one by one."""
    moment = datetime(2026, 1, 31, 23, 30, 0, 250_000, tzinfo=timezone(timedelta(hours=5)))
    source = rows.SourceRow(
        region="FR-63",
        id="a",
        contributor="b",
        revision=1,
        sequence=1,
        received_at=moment,
        retracted=True,
        state="held",
        flags=("twin_runs", "far"),
        public="{",
        latitude=45.1,
    )
    found = select(schema.sources).where(
        schema.sources.c.received_at == bindparam("at"),
        schema.sources.c.retracted == bindparam("retracted"),
        schema.sources.c.flags == bindparam("flags"),
        schema.sources.c.state == "held",
    )
    given = {"at": moment.astimezone(UTC), "retracted": True, "flags": ("twin_runs", "far")}
    async with store.write() as connection:
        await driver.add(connection, schema.sources, rows.values([source]))
        [back] = await driver.fetch_as(rows.SourceRow, connection, found, **given)
        assert back == source
        assert back.received_at.tzinfo is UTC
        assert back.retracted is True
        assert await driver.fetch(connection, found, **{**given, "retracted": False}) == []
        with pytest.raises(KeyError, match="at"):
            await driver.fetch(connection, found, retracted=True, flags=())


async def test_many_rows_come_in_order(store: Store) -> None:
    ids = [f"{number:06}" for number in range(2 * driver.PAGE + 7)]
    ordered = select(schema.departures.c.id).where(schema.departures.c.id >= bindparam("first")).order_by("id")
    async with store.write() as connection:
        await driver.add(connection, schema.departures, [(one, "FR-63") for one in reversed(ids)])
        pages = [[one for (one,) in page] async for page in driver.stream(connection, ordered, first=ids[1])]
    assert [len(page) for page in pages] == [driver.PAGE, driver.PAGE, 6]
    assert [one for page in pages for one in page] == ids[1:]
