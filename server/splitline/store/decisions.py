"""Decisions by moderators, never deleted.

A decision about all of a contributor's records has the contributor's id as its record, and revision 0. Actions for a
source's waiting change: confirm, refuse.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Literal

from msgspec import Struct
from sqlalchemy import select

from splitline.store.array_param import among
from splitline.store.driver import Connection, add, fetch_as
from splitline.store.rows import values
from splitline.store.schema import decisions

Action = Literal["release", "withhold", "merge", "unmerge", "confirm", "refuse"]


class DecisionRow(Struct, frozen=True, kw_only=True):
    """One decision. sequence: the number of its change; why: in the moderator's words."""

    sequence: int
    action: Action
    record: str
    revision: int
    why: str
    decided_by: str
    decided_at: datetime


ABOUT = select(decisions).where(among(decisions.c.record, "records"))
ABOUT_PEOPLE = select(decisions).where(decisions.c.revision == 0)


async def note(connection: Connection, row: DecisionRow) -> None:
    """Add a decision."""
    await add(connection, decisions, values([row]))


async def about(connection: Connection, records: Iterable[str]) -> list[DecisionRow]:
    """Return the decisions about some records, oldest first."""
    rows = await fetch_as(DecisionRow, connection, ABOUT, records=list(records))
    return sorted(rows, key=lambda row: row.sequence)


async def last_about(connection: Connection, record: str) -> DecisionRow | None:
    """Return the last decision about a record, or about a contributor."""
    made = await about(connection, [record])
    return made[-1] if made else None


async def set_aside(connection: Connection) -> list[DecisionRow]:
    """Return the decisions that currently withhold all of a contributor's records, oldest first."""
    rows = await fetch_as(DecisionRow, connection, ABOUT_PEOPLE)
    last = {row.record: row for row in sorted(rows, key=lambda row: row.sequence)}
    return sorted((row for row in last.values() if row.action == "withhold"), key=lambda row: row.sequence)
