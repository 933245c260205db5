"""What moderators decided, kept for good."""

from collections.abc import Iterable
from datetime import datetime
from typing import Literal

from msgspec import Struct
from sqlalchemy import select

from splitline.store.driver import Connection, add, fetch_as
from splitline.store.lists import among
from splitline.store.rows import values
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


ABOUT = select(decisions).where(among(decisions.c.record, "records"))


async def note(connection: Connection, row: DecisionRow) -> None:
    """Note a decision."""
    await add(connection, decisions, values([row]))


async def about(connection: Connection, records: Iterable[str]) -> list[DecisionRow]:
    """Return the decisions about some records, oldest first."""
    rows = await fetch_as(DecisionRow, connection, ABOUT, records=list(records))
    return sorted(rows, key=lambda row: row.sequence)
