"""Withholds and releases everything of one contributor.

The decision is saved first, so that whatever they send from then on is withheld on arrival. Stored records follow in
batches of `PAGE`, the first one together with the decision; others can write between two batches. An interrupted
command continues where it stopped when it is given again. Records held or withheld for another reason are not affected
by either.

A source at which others tested, or into which others were merged, stays.
"""

import asyncio
import re
from collections.abc import Awaitable, Callable
from time import monotonic

from msgspec import Struct
from msgspec.structs import replace

from splitline.errors import Problem, Unusable
from splitline.intake.reevaluate import restate
from splitline.moderation.decisions import Moderator, note
from splitline.store import contributors, decisions, merges, sequence, sources, tests
from splitline.store.decisions import Action
from splitline.store.engine import Connection, Store
from splitline.store.rows import ALL_WITHHELD, HOLDING, WITHHELD, Row, SourceRow, State

CONTRIBUTOR = re.compile("[0-9a-f]{16}")
PAGE = 500
"""Records in one batch."""

Progress = Callable[[int, int], None]
"""Called with the number of records done and the total."""
Left = Callable[[Connection, str], Awaitable[list[str]]]


class Decision(Struct, frozen=True):
    """A decision to carry out; is_new: to be saved with the first batch."""

    action: Action
    is_new: bool


async def withhold(store: Store, contributor: str, by: Moderator, progress: Progress = lambda *_: None) -> int:
    """Withhold everything of a contributor, including what they send later; return how many records.

    Raises `Unusable`.
    """
    async with store.read() as connection:
        if not await contributors.first_seen(connection, [contributor]):
            raise Unusable([Problem("contributor_unknown", "id", contributor)])
        last = await decisions.last_about(connection, contributor)
    again = last is not None and last.action == "withhold" and by.why in ("", last.why)
    return await _all(store, contributor, Decision("withhold", not again), by, progress)


async def release(store: Store, contributor: str, by: Moderator, progress: Progress = lambda *_: None) -> int:
    """Undo `withhold` for all at once; return how many records changed. Raises `Unusable`."""
    async with store.read() as connection:
        last = await decisions.last_about(connection, contributor)
        again = last is not None and last.action == "release"
        if last is None or (again and not await _withheld(connection, contributor)):
            raise Unusable([Problem("not_set_aside", "id", contributor)])
    return await _all(store, contributor, Decision("release", not again), by, progress)


async def _all(store: Store, contributor: str, decision: Decision, by: Moderator, progress: Progress) -> int:
    """Process batches until no record is left."""
    count = 0
    while True:
        async with store.read() as connection:
            left = await LEFT[decision.action](connection, contributor)
        if not left and not decision.is_new:
            return count
        total = count + len(left)
        for start in range(0, max(len(left), 1), PAGE):
            begun = monotonic()
            count += await _turn(store, contributor, left[start : start + PAGE], decision, by)
            decision = replace(decision, is_new=False)
            progress(count, total)
            # Pause as long for others: on SQLite a writer that starts again at once gets the lock again.
            await asyncio.sleep(monotonic() - begun)


async def _turn(store: Store, contributor: str, ids: list[str], decision: Decision, by: Moderator) -> int:
    async with store.write() as connection:
        if decision.is_new:
            await note(connection, await sequence.take(connection, 1), decision.action, contributor, 0, by)
        elif await _stands(connection, contributor) != decision.action:
            raise Unusable([Problem("decided_otherwise", "id", contributor)])
        rows: list[Row] = [*(await sources.by_ids(connection, ids)).values()]
        rows += (await tests.by_ids(connection, ids)).values()
        changed = CHANGED[decision.action](rows)
        await restate(connection, changed, by.now)
    return len(changed)


async def _stands(connection: Connection, contributor: str) -> Action | None:
    last = await decisions.last_about(connection, contributor)
    return last.action if last else None


async def _in_use(connection: Connection, contributor: str) -> list[str]:
    """A contributor's records that count or are held, without sources that others use."""
    own = [row.id for row in await sources.entered_by(connection, contributor) if row.state == "counted"]
    shared = {source for source, who in await tests.users(connection, own) if who != contributor}
    shared |= set((await merges.members(connection, own)).values())
    return [*(one for one in own if one not in shared), *await tests.in_use_of(connection, contributor)]


async def _withheld(connection: Connection, contributor: str) -> list[str]:
    """A contributor's records that are withheld only as part of everything of theirs."""
    return [
        *await sources.all_withheld_of(connection, contributor),
        *await tests.all_withheld_of(connection, contributor),
    ]


def _taken_out(rows: list[Row]) -> list[Row]:
    used = [row for row in rows if row.state in ("counted", "held")]
    return [replace(row, state="withheld", flags=(ALL_WITHHELD, *row.flags)) for row in used]


def _let_back(rows: list[Row]) -> list[Row]:
    return [_as_before(row) for row in rows if ALL_WITHHELD in row.flags]


def _as_before(row: Row) -> Row:
    flags = tuple(flag for flag in row.flags if flag != ALL_WITHHELD)
    state: State = "counted"
    if WITHHELD in flags or row.retracted:
        state = "withheld"
    elif isinstance(row, SourceRow):
        state = "merged" if row.into else "counted"
    elif any(flag in HOLDING for flag in flags):
        state = "held"
    return replace(row, state=state, flags=flags)


LEFT: dict[Action, Left] = {"withhold": _in_use, "release": _withheld}
CHANGED: dict[Action, Callable[[list[Row]], list[Row]]] = {"withhold": _taken_out, "release": _let_back}
