"""Re-evaluates stored records after a later picture, another reading or a moderator's decision.

Photos arrive after readings, so a photo can cause a counted test to be held.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime

from msgspec.structs import replace

from splitline.feed import public_text
from splitline.figures import queue
from splitline.records import Source, Test
from splitline.store import contributors, photos, sequence, sources, tests
from splitline.store.engine import Connection
from splitline.store.rows import Row, State, TestRow, only_sources, only_tests


async def restate(connection: Connection, rows: Sequence[Row], now: datetime) -> list[Row]:
    """Write rows whose state changed, in a write transaction, with new numbers for phones to pull. Returns them."""
    if not rows:
        return []
    numbered = await number(connection, rows)
    earlier = await _as_stored(connection, rows)
    stored = {row.id for row in earlier}
    await sources.put(connection, only_sources(numbered), stored)
    await tests.put(connection, only_tests(numbered), stored)
    await queue.note(connection, earlier, numbered, now)
    return numbered


async def number(
    connection: Connection,
    rows: Sequence[Row],
    read: Mapping[str, Source | Test] = {},
    known: Mapping[str, str] = {},
) -> list[Row]:
    """Return rows with numbers and public texts for their changes, within a write transaction.

    read: already parsed records, by text; known: already loaded digests of contributors' secrets.
    """
    first = await sequence.take(connection, len(rows))
    others = {row.contributor for row in rows} - known.keys()
    digests = {**known, **await contributors.digests(connection, others)}
    return [
        replace(row, sequence=n, public=public_text(row, n, digests[row.contributor], read.get(row.record or "")))
        for n, row in enumerate(rows, first)
    ]


async def _as_stored(connection: Connection, rows: Sequence[Row]) -> list[Row]:
    ids = [row.id for row in rows]
    found: list[Row] = [*(await sources.by_ids(connection, ids)).values()]
    return [*found, *(await tests.by_ids(connection, ids)).values()]


async def hold_lookalikes(connection: Connection, digest: str, look: int | None, now: datetime) -> None:
    """Hold the tests that name a newly arrived picture, if it looks like one of another test."""
    naming = {test for _, test in await photos.shown_by(connection, [digest])}
    if look is None or not naming:
        return
    alike = (await photos.alike(connection, {digest: look})).get(digest, set())
    others = {test for _, test in await photos.shown_by(connection, alike)}
    rows = await tests.by_ids(connection, [test for test in naming if others - {test}])
    await restate(connection, [_held(row, "twin_picture") for row in rows.values()], now)


def _held(row: TestRow, reason: str) -> TestRow:
    state: State = "held" if row.state == "counted" else row.state
    return replace(row, state=state, flags=tuple(dict.fromkeys((reason, *row.flags))))
