"""Stored rows as the public changes that phones pull."""

from datetime import datetime
from typing import Any, Literal

from msgspec import Struct, json

from splitline.public import noon_of, public_source, public_test
from splitline.records import Source, Test
from splitline.store.rows import Row, SourceRow

SOURCE, TEST = json.Decoder(Source), json.Decoder(Test)


class Former(Struct, frozen=True, kw_only=True):
    """The result of a test by an earlier version of the tube model, % (V/V)."""

    model: int
    content: float
    expanded_uncertainty: float


class TestFigures(Struct, frozen=True, kw_only=True):
    """The server's own result of a test. own_uncertainty and shared_uncertainty are standard uncertainties.

    model: the version of the tube model. former: the result by the version before, if there was one.
    """

    content: float
    expanded_uncertainty: float
    own_uncertainty: float
    shared_uncertainty: float
    coverage_factor: float
    model: int = 1
    former: Former | None = None


class Change(Struct, frozen=True, kw_only=True, tag_field="kind"):
    """A record at its newest revision. record: null when it is retracted or does not count.

    contributor: pseudonym that differs by region and year; null when the record is. received_at: noon UTC of the day.
    """

    sequence: int
    id: str
    revision: int
    retracted: bool
    region: str
    contributor: str | None
    received_at: datetime
    state: Literal["counted", "held", "withheld", "merged"]
    flags: tuple[str, ...] = ()


class SourceChange(Change, frozen=True, kw_only=True, tag="source"):
    """A source that changed. into: the source it was merged into."""

    into: str | None = None
    figures: None = None
    record: Source | None = None


class TestChange(Change, frozen=True, kw_only=True, tag="test"):
    """A test that changed, with the server's own result."""

    figures: TestFigures | None = None
    record: Test | None = None


def public_text(row: Row, number: int, digest: str, record: Source | Test | None = None) -> str:
    """Return a row's public change as JSON, the only form in which it is published.

    number: of the change. digest: of the contributor's secret. record: the row's, if already decoded.
    """
    said = row.record if row.state == "counted" else None
    if isinstance(row, SourceRow):
        contributor, source = _source(said, record, digest, row.region)
        change = SourceChange(**_common(row, number, contributor), into=row.into, record=source)
        return json.encode(change).decode()
    contributor, test = _test(said, record, digest, row.region)
    figures = _figures(row) if test else None
    return json.encode(TestChange(**_common(row, number, contributor), figures=figures, record=test)).decode()


def _source(said: str | None, read: object, digest: str, region: str) -> tuple[str | None, Source | None]:
    if said is None:
        return None, None
    return public_source(read if isinstance(read, Source) else SOURCE.decode(said), digest, region)


def _test(said: str | None, read: object, digest: str, region: str) -> tuple[str | None, Test | None]:
    if said is None:
        return None, None
    return public_test(read if isinstance(read, Test) else TEST.decode(said), digest, region)


def own_change(row: Row) -> SourceChange | TestChange:
    """Return a row that is not retracted as only its sender may see it: in full, whether it counts or not."""
    assert row.record, "a retracted record has no content"
    common = _common(row, row.sequence, row.contributor) | {"received_at": row.received_at}
    if isinstance(row, SourceRow):
        return SourceChange(**common, into=row.into, record=SOURCE.decode(row.record))
    return TestChange(**common, figures=_figures(row), record=TEST.decode(row.record))


def _common(row: Row, number: int, contributor: str | None) -> dict[str, Any]:
    return {
        "contributor": contributor,
        "sequence": number,
        "id": row.id,
        "revision": row.revision,
        "retracted": row.retracted,
        "region": row.region,
        "received_at": noon_of(row.received_at),
        "state": row.state,
        "flags": row.flags,
    }


def _figures(test: Any) -> TestFigures:
    """The figures of a test that counts; its row has all of them."""
    return TestFigures(
        content=test.content,
        expanded_uncertainty=test.expanded_uncertainty,
        own_uncertainty=test.own_uncertainty,
        shared_uncertainty=test.shared_uncertainty,
        coverage_factor=test.coverage_factor,
        model=test.model,
        former=test.former and json.decode(test.former, type=Former),
    )
