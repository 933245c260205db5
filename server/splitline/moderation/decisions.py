"""A moderator's decisions: which held records count, which are withheld, and which sources are the same place.

A release applies to one revision; a withheld record stays withheld through all its revisions until it is released.
"""

from dataclasses import dataclass
from datetime import datetime

from msgspec.structs import replace

from splitline.errors import Problem, Unusable
from splitline.intake.reevaluate import restate
from splitline.store import decisions, merges, sources, tests
from splitline.store.decisions import Action, DecisionRow
from splitline.store.engine import Connection, Store
from splitline.store.merges import MergeRow
from splitline.store.rows import HOLDING, OUT, RELEASED_DUPLICATE, WITHHELD, Row, SourceRow, State, TestRow


@dataclass(frozen=True, slots=True)
class Moderator:
    """Who decides, when and why."""

    name: str
    now: datetime
    why: str = ""


async def release(store: Store, record: str, by: Moderator) -> Row:
    """Let a held or withheld record count in its present revision; a new one is checked again. Raises `Unusable`."""
    async with store.write() as connection:
        row = await _decidable(connection, record)
        if row.state not in ("held", "withheld"):
            raise Unusable([Problem("not_held", "id", record, row.state)])
        kept = tuple(flag for flag in row.flags if flag not in (*HOLDING, *OUT, RELEASED_DUPLICATE))
        duplicate = isinstance(row, TestRow) and row.is_duplicate
        flags = (RELEASED_DUPLICATE, *kept) if duplicate else kept
        state: State = "merged" if isinstance(row, SourceRow) and row.into else "counted"
        return await _decided(connection, replace(row, state=state, flags=flags), "release", by)


async def withhold(store: Store, record: str, by: Moderator) -> Row:
    """Withhold a record and its later revisions from lists and figures until it is released. Raises `Unusable`."""
    async with store.write() as connection:
        row = await _decidable(connection, record)
        is_out_alone = row.state == "withheld" and WITHHELD in row.flags
        if row.state == "merged" or is_out_alone:
            raise Unusable([Problem("not_in_use", "id", record, row.state)])
        return await _decided(connection, replace(row, state="withheld", flags=(WITHHELD, *row.flags)), "withhold", by)


async def merge(store: Store, source: str, into: str, by: Moderator) -> Row:
    """Merge one source into another; return the one that left the lists.

    Nothing moves: its tests keep their source and region, and count at the other source. Raises `Unusable`.
    """
    async with store.write() as connection:
        rows = await sources.by_ids(connection, [source, into])
        found = [problem for name in (source, into) if (problem := _unfit(name, rows.get(name)))]
        if source == into:
            found.append(Problem("merge_itself", source))
        if await merges.members(connection, [source]):
            found.append(Problem("merge_stands_for_others", "from", source))
        if found:
            raise Unusable(found)
        left = await _decided(connection, replace(rows[source], state="merged", into=into), "merge", by)
        row = MergeRow(sequence=left.sequence, source=source, into=into, merged_by=by.name, merged_at=by.now)
        await merges.note(connection, row)
    return left


async def unmerge(store: Store, source: str, by: Moderator) -> Row:
    """Undo a merge. Raises `Unusable` if the source is not merged."""
    async with store.write() as connection:
        row = (await sources.by_ids(connection, [source])).get(source)
        if row is None or row.into is None:
            raise Unusable([Problem("not_merged", "from", source)])
        back = await _decided(connection, replace(row, state="counted", into=None), "unmerge", by)
        await merges.undo(connection, source, by.now)
    return back


async def _decidable(connection: Connection, record: str) -> Row:
    found: dict[str, Row] = {}
    found.update(await tests.by_ids(connection, [record]))
    found.update(await sources.by_ids(connection, [record]))
    row = found.get(record)
    if row is None or row.retracted:
        raise Unusable([Problem("record_unknown", "id", record)])
    return row


async def _decided(connection: Connection, row: Row, action: Action, by: Moderator) -> Row:
    """Save a record's outcome and who decided it."""
    [written] = await restate(connection, [row], by.now)
    await note(connection, written.sequence, action, row.id, row.revision, by)
    return written


async def note(connection: Connection, number: int, action: Action, record: str, revision: int, by: Moderator) -> None:
    """Save who decided what, under the sequence number of the change it made."""
    decision = DecisionRow(
        sequence=number,
        action=action,
        record=record,
        revision=revision,
        why=by.why,
        decided_by=by.name,
        decided_at=by.now,
    )
    await decisions.note(connection, decision)


def _unfit(name: str, row: SourceRow | None) -> Problem | None:
    if row and row.state == "counted":
        return None
    return Problem("merge_not_counted", "source", name, row.state if row else "unknown")
