"""Marks what goes stale when records change: visits of counted tests, and all that depends on a source's place."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from splitline.store import influence, stale
from splitline.store.engine import Connection
from splitline.store.rows import Row, SourceRow, TestRow, day_of


async def note(connection: Connection, earlier: Iterable[Row], later: Sequence[Row], now: datetime) -> None:
    """Queue what a change makes stale, in its transaction; earlier, later: records before and after.

    A new source is not queued: it gets figures with its tests. Also stores the day of receipt for contributors whose
    tests now count.
    """
    numbers = {row.id: row.sequence for row in later}
    before = {row.id: row for row in earlier}
    visits = {
        (row.region, row.source or "", row.contributor, row.day or 0): numbers[row.id]
        for row in (*before.values(), *later)
        if isinstance(row, TestRow) and row.counts
    }
    places = {
        place: numbers[row.id]
        for row in (*before.values(), *later)
        if isinstance(row, SourceRow) and row.id in before
        for place in (row.id, row.into)
        if place
    }
    await influence.note(
        connection,
        {
            (row.contributor, row.region, day_of(row.received_at))
            for row in later
            if isinstance(row, TestRow) and row.counts
        },
    )
    await stale.note_visits(connection, [(number, *visit, now) for visit, number in visits.items()])
    for place, number in places.items():
        await stale.note(connection, "place", [place], number, number, now)
