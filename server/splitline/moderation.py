"""What a moderator decides: which held records count, which are taken out, and which sources are one place."""

from dataclasses import dataclass, replace
from datetime import datetime

from splitline.errors import Problem, Unusable
from splitline.rejudging import restate
from splitline.store import merges, sources, tests
from splitline.store.engine import Connection, Store
from splitline.store.merges import MergeRow
from splitline.store.rows import Row, SourceRow


@dataclass(frozen=True, slots=True)
class Moderator:
    """Who decides, and when."""

    name: str
    now: datetime


async def merge(store: Store, source: str, into: str, by: Moderator) -> SourceRow:
    """Let one source stand for another, which leaves the lists; return the one that left.

    Nothing moves: its tests keep their source and region, and are counted where the other stands. Raises `Unusable`.
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
        [left] = await _restated(connection, replace(rows[source], state="merged", into=into), by.now)
        row = MergeRow(sequence=left.sequence, source=source, into=into, merged_by=by.name, merged_at=by.now)
        await merges.note(connection, row)
    return left


async def unmerge(store: Store, source: str, by: Moderator) -> SourceRow:
    """Let a merged source stand on its own again. Raises `Unusable` when it is not merged."""
    async with store.write() as connection:
        row = (await sources.by_ids(connection, [source])).get(source)
        if row is None or row.into is None:
            raise Unusable([Problem("not_merged", "from", source)])
        standing = (await sources.by_ids(connection, [row.into])).values()
        [back] = await _restated(connection, replace(row, state="counted", into=None), by.now, *standing)
        await merges.undo(connection, source, by.now)
    return back


async def _restated(connection: Connection, row: SourceRow, now: datetime, *others: SourceRow) -> list[SourceRow]:
    """Write a source, with the figures of its tests' months and those of other sources."""
    unsettled: list[Row] = [*others, *await tests.at_sources(connection, [row.id])]
    written = await restate(connection, [row], now, unsettled)
    return [row for row in written if isinstance(row, SourceRow)]


def _unfit(name: str, row: SourceRow | None) -> Problem | None:
    if row and row.state == "counted":
        return None
    return Problem("merge_not_counted", "source", name, row.state if row else "unknown")
