"""Rows as the changes that devices see."""

from datetime import datetime
from typing import Any, Literal

from msgspec import Struct, convert, json

from splitline.records import Source, Test
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.texts import SAYS_NOTHING


class TestFigures(Struct, frozen=True, kw_only=True):
    """The server's own result of a test. own_uncertainty and shared_uncertainty are standard uncertainties."""

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float


class Change(Struct, frozen=True, kw_only=True, tag_field="kind"):
    """A record at its newest revision. record: null when it is retracted or does not count."""

    sequence: int
    id: str
    revision: int
    retracted: bool
    region: str
    contributor: str
    received_at: datetime
    state: Literal["counted", "held", "withheld", "merged"]
    flags: tuple[str, ...] = ()


class SourceChange(Change, frozen=True, kw_only=True, tag="source"):
    """A source that changed. into: the source that stands for a merged one."""

    into: str | None = None
    figures: None = None
    record: Source | None = None


class TestChange(Change, frozen=True, kw_only=True, tag="test"):
    """A test that changed, with the server's own result."""

    figures: TestFigures | None = None
    record: Test | None = None


def change_of(row: Row) -> SourceChange | TestChange:
    """Return a row as a change; what it says only if it counts."""
    return source_change(row) if isinstance(row, SourceRow) else test_change(row)


def source_change(row: SourceRow) -> SourceChange:
    """Return a source as a change; a merged one names the source that stands for it."""
    said = row.record if row.state == "counted" else None
    record = json.decode(said, type=Source) if said else None
    return SourceChange(**_common(row, row.sequence), into=row.into, record=record)


def test_change(row: TestRow) -> TestChange:
    """Return a test as a change, with the server's figures."""
    said = row.record if row.state == "counted" else None
    return TestChange(
        **_common(row, row.sequence), figures=_figures(row), record=json.decode(said, type=Test) if said else None
    )


def envelope_of(row: Row, number: int) -> str:
    """Return the JSON text of a row's change up to where its record stands, which is kept beside it.

    number: of the change.
    """
    silent = (
        SourceChange(**_common(row, number), into=row.into)
        if isinstance(row, SourceRow)
        else TestChange(**_common(row, number), figures=_figures(row))
    )
    text = json.encode(silent).decode()
    assert text.endswith(SAYS_NOTHING), "the record is the last field of a change"
    return text.removesuffix(SAYS_NOTHING)


def _figures(row: TestRow) -> TestFigures | None:
    """The figures of a test that counts."""
    if row.state != "counted":
        return None
    return convert(row, TestFigures, from_attributes=True)


def _common(row: Row, number: int) -> dict[str, Any]:
    return {
        "sequence": number,
        "id": row.id,
        "revision": row.revision,
        "retracted": row.retracted,
        "region": row.region,
        "contributor": row.contributor,
        "received_at": row.received_at,
        "state": row.state,
        "flags": row.flags,
    }
