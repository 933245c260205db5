"""Rows as the changes that devices see."""

from typing import Any

from msgspec import json

from splitline.api.shapes import SourceChange, TestChange, TestFigures
from splitline.records import Source, Test
from splitline.store.rows import Row, SourceRow, TestRow


def change_of(row: Row) -> SourceChange | TestChange:
    """Return a row as a change; what it says only if it counts."""
    return source_change(row) if isinstance(row, SourceRow) else test_change(row)


def source_change(row: SourceRow) -> SourceChange:
    """Return a source as a change; a merged one names the source that stands for it."""
    said = row.record if row.state == "counted" else None
    return SourceChange(**_common(row), record=json.decode(said, type=Source) if said else None, into=row.into)


def test_change(row: TestRow) -> TestChange:
    """Return a test as a change, with the server's figures."""
    said = row.record if row.state == "counted" else None
    if said is None:
        return TestChange(**_common(row))
    figures = TestFigures(**{name: getattr(row, name) for name in TestFigures.__struct_fields__})
    return TestChange(**_common(row), record=json.decode(said, type=Test), figures=figures)


def _common(row: Row) -> dict[str, Any]:
    return {
        "sequence": row.sequence,
        "id": row.id,
        "revision": row.revision,
        "retracted": row.retracted,
        "region": row.region,
        "contributor": row.contributor,
        "received_at": row.received_at,
        "state": row.state,
        "flags": row.flags,
    }
