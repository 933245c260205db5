"""What moderators decided, kept for good."""

from collections.abc import Iterable
from datetime import datetime
from typing import Literal

from msgspec import Struct
from sqlalchemy import select
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store import writing
from splitline.store.rows import portions, values
from splitline.store.schema import decisions

Action = Literal["release", "withhold", "merge", "unmerge"]


class DecisionRow(Struct, frozen=True, kw_only=True):
    """One decision. sequence: the number of the change that it made; why: in the moderator's words."""

    sequence: int
    action: Action
    record: str
    revision: int
    why: str
    decided_by: str
    decided_at: datetime


async def note(connection: AsyncConnection, row: DecisionRow) -> None:
    """Note a decision."""
    await writing.add(connection, decisions, values([row]))


async def about(connection: AsyncConnection, records: Iterable[str]) -> list[DecisionRow]:
    """Return the decisions about some records, oldest first."""
    found: list[DecisionRow] = []
    for portion in portions(records):
        rows = await connection.execute(select(decisions).where(decisions.c.record.in_(portion)))
        found += [DecisionRow(**row._mapping) for row in rows]
    return sorted(found, key=lambda row: row.sequence)
