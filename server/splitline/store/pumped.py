"""Counted readings from the pump, as figures are made of them: a merged source is the one that stands for it."""

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any

from msgspec import Struct
from sqlalchemy import Select, and_, bindparam, func, or_, select

from splitline.store.driver import Connection, fetch
from splitline.store.lists import among
from splitline.store.rows import TestRow
from splitline.store.schema import sources, tests

Month = tuple[str, str]
"""A region and a month, such as ("FR-63", "2026-01")."""
Place = tuple[str, str]
"""The source that readings count for, and its region."""

survivor = sources.alias("survivor")


class PumpedRow(Struct, frozen=True):
    """A reading that counts, % (V/V).

    id: of its test. source, home: the source that it counts for and that one's region; region: where it was made.
    month: UTC.
    """

    id: str
    source: str
    home: str
    region: str
    month: str
    contributor: str
    tube: str | None
    sampled_at: datetime
    content: float
    own_uncertainty: float
    shared_uncertainty: float


PLACE = {
    "source": func.coalesce(survivor.c.id, sources.c.id),
    "home": func.coalesce(survivor.c.region, sources.c.region),
}
IS_MERGED_INTO = survivor.c.id == sources.c.into
STANDS = or_(sources.c.state == "counted", and_(sources.c.state == "merged", survivor.c.state == "counted"))


def _counting() -> Select[Any]:
    """What makes a test count in figures: drawn from the pump, not held, at a source that stands or is merged."""
    columns = [PLACE[name] if name in PLACE else tests.c[name] for name in PumpedRow.__struct_fields__]
    return (
        select(*columns)
        .join(sources, and_(tests.c.region == sources.c.region, tests.c.source == sources.c.id))
        .outerjoin(survivor, IS_MERGED_INTO)
        .where(tests.c.state == "counted", tests.c.sampled == "pump", STANDS)
    )


AT_SOURCES = _counting().where(among(tests.c.source, "sources"), tests.c.sampled_at >= bindparam("since"))
IN_MONTHS = _counting().where(tests.c.region == bindparam("region"), among(tests.c.month, "months"))

PLACES = (
    select(sources.c.id, *PLACE.values())
    .outerjoin(survivor, IS_MERGED_INTO)
    .where(STANDS, among(sources.c.id, "sources"))
)


async def at(connection: Connection, sources_and_members: Iterable[str], since: datetime) -> list[PumpedRow]:
    """Return the readings made at these sources since a moment."""
    rows = await fetch(connection, AT_SOURCES, sources=list(sources_and_members), since=since)
    return [PumpedRow(*row) for row in rows]


async def in_months(connection: Connection, region: str, months: Collection[str]) -> list[PumpedRow]:
    """Return the readings made in a region in some months."""
    return [PumpedRow(*row) for row in await fetch(connection, IN_MONTHS, region=region, months=list(months))]


async def places(connection: Connection, sources: Iterable[str]) -> dict[str, Place]:
    """Return what the readings at these sources count for; those of a source that is missing do not count."""
    rows = await fetch(connection, PLACES, sources=list(sources))
    return {source: (standing, home) for source, standing, home in rows}


def of_tests(rows: Iterable[TestRow], places: dict[str, Place]) -> list[PumpedRow]:
    """Return the readings among some tests that count, as they would be read."""
    counted = (row for row in rows if row.state == "counted" and row.sampled == "pump")
    return [_of_test(row, *places[row.source or ""]) for row in counted if row.source in places]


def _of_test(test: Any, source: str, home: str) -> PumpedRow:
    """test: a row that lacks nothing, as it counts."""
    return PumpedRow(
        id=test.id,
        source=source,
        home=home,
        region=test.region,
        month=test.month,
        contributor=test.contributor,
        tube=test.tube,
        sampled_at=test.sampled_at,
        content=test.content,
        own_uncertainty=test.own_uncertainty,
        shared_uncertainty=test.shared_uncertainty,
    )
