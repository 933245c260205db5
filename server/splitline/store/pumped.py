"""Counted readings from the pump, as figures are made of them: a merged source is the one that stands for it."""

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any

from msgspec import Struct
from sqlalchemy import Select, and_, func, or_, select
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store.rows import portions
from splitline.store.schema import sources, tests

Month = tuple[str, str]
"""A region and a month, such as ("FR-63", "2026-01")."""

survivor = sources.alias("survivor")


class PumpedRow(Struct, frozen=True):
    """A reading that counts, % (V/V).

    source, home: the source that it counts for and that one's region; region: where it was made. month: UTC.
    """

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


async def at(connection: AsyncConnection, sources_and_members: Iterable[str], since: datetime) -> list[PumpedRow]:
    """Return the readings made at these sources since a moment."""
    found: list[PumpedRow] = []
    for portion in portions(sources_and_members):
        statement = _counting().where(tests.c.source.in_(portion), tests.c.sampled_at >= since)
        found += [PumpedRow(*row) for row in (await connection.execute(statement)).all()]
    return found


async def in_months(connection: AsyncConnection, region: str, months: Collection[str]) -> list[PumpedRow]:
    """Return the readings made in a region in some months."""
    statement = _counting().where(tests.c.region == region, tests.c.month.in_(months))
    return [PumpedRow(*row) for row in (await connection.execute(statement)).all()]


def _counting() -> Select[Any]:
    """What makes a test count in figures: drawn from the pump, not held, at a source that stands or is merged."""
    where = {
        "source": func.coalesce(survivor.c.id, sources.c.id),
        "home": func.coalesce(survivor.c.region, sources.c.region),
    }
    columns = [where[name] if name in where else tests.c[name] for name in PumpedRow.__struct_fields__]
    return (
        select(*columns)
        .join(sources, and_(tests.c.region == sources.c.region, tests.c.source == sources.c.id))
        .outerjoin(survivor, survivor.c.id == sources.c.into)
        .where(
            tests.c.state == "counted",
            tests.c.sampled == "pump",
            or_(sources.c.state == "counted", and_(sources.c.state == "merged", survivor.c.state == "counted")),
        )
    )
