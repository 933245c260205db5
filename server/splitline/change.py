"""Rows as the changes that devices see."""

from datetime import datetime
from typing import Any, Literal

from msgspec import Struct, json

from splitline.records import Source, Test
from splitline.store.rows import Row, SourceRow, TestRow
from splitline.store.texts import SAYS_NOTHING


class Former(Struct, frozen=True, kw_only=True):
    """What an earlier model of the tube made of a test, % (V/V)."""

    model: int
    content: float
    expanded_uncertainty: float


class TestFigures(Struct, frozen=True, kw_only=True):
    """The server's own result of a test. own_uncertainty and shared_uncertainty are standard uncertainties.

    model: the version of the tube model. former: the result by the model before, if it was computed with that.
    """

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float
    model: int = 1
    former: Former | None = None


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


def test_change(row: TestRow) -> TestChange:
    """Return a test as a change, with the server's figures; what it says only if it counts."""
    said = row.record if row.state == "counted" else None
    return _of_test(row, row.sequence, json.decode(said, type=Test) if said else None)


def envelope_of(row: Row, number: int) -> str:
    """Return the JSON text of a row's change up to where its record stands, which is kept beside it.

    number: of the change.
    """
    silent = _of_source(row, number) if isinstance(row, SourceRow) else _of_test(row, number, None)
    text = json.encode(silent).decode()
    assert text.endswith(SAYS_NOTHING), "the record is the last field of a change"
    return text.removesuffix(SAYS_NOTHING)


def _of_source(row: SourceRow, number: int) -> SourceChange:
    return SourceChange(**_common(row, number), into=row.into)


def _of_test(row: TestRow, number: int, record: Test | None) -> TestChange:
    figures = _figures(row) if row.state == "counted" else None
    return TestChange(**_common(row, number), figures=figures, record=record)


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


def _figures(test: Any) -> TestFigures:
    """The figures of a test that counts, a row that lacks none of them."""
    return TestFigures(
        content=test.content,
        expanded_uncertainty=test.expanded_uncertainty,
        own_uncertainty=test.own_uncertainty,
        shared_uncertainty=test.shared_uncertainty,
        coverage_factor=test.coverage_factor,
        model=test.model,
        former=test.former and json.decode(test.former, type=Former),
    )
