"""Rows are written as tuples: their fields have to be the columns of their tables, in the same order."""

import pytest
from msgspec import Struct
from sqlalchemy import Table

from splitline.store import rows, schema
from splitline.store.decisions import DecisionRow
from splitline.store.figures import RegionMonthRow, SourceFiguresRow
from splitline.store.lessons import LessonsRow, OffsetRow
from splitline.store.merges import MergeRow

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
