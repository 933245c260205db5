"""All figures as plain values, for comparison."""

from sqlalchemy import Table, select

from splitline.store.driver import Connection, fetch
from splitline.store.schema import (
    contributor_weights,
    region_lessons,
    region_months,
    source_figures,
    tube_offsets,
    visits,
)

Figures = dict[tuple[str, ...], tuple[object, ...]]
"""Table and key of a row -> its values."""

# Times of computation are not compared.
MOMENTS = ("learned_at", "day")
ALL = {
    table: select(*(column for column in table.c if column.primary_key or column.name not in MOMENTS))
    for table in (visits, source_figures, region_months, region_lessons, tube_offsets, contributor_weights)
}


async def everything(connection: Connection) -> Figures:
    """Return all stored figures, table by table."""
    found: Figures = {}
    for table, statement in ALL.items():
        keys = _keys(table)
        for row in await fetch(connection, statement):
            values = dict(zip(statement.exported_columns.keys(), row, strict=True))
            key = (table.name, *(str(values.pop(name)) for name in keys))
            found[key] = tuple(values.values())
    return found


def _keys(table: Table) -> list[str]:
    return [column.name for column in table.primary_key]
