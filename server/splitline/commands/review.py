"""`splitline review`: what is waiting for a moderator, what looks odd, and the moderator's decisions.

It runs on the machine that has the database. Moderation is not possible over HTTP, so there is no key to steal or
guess.
"""

import argparse
import getpass
import sys
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from functools import partial

from msgspec import json

from splitline.commands import data, review_words
from splitline.commands.review_words import Decided, Odd
from splitline.figures.schedule import bring_up
from splitline.moderation import contributors, decisions, source_changes
from splitline.moderation.decisions import Moderator
from splitline.moderation.oddities import oddities
from splitline.moderation.profile import profile
from splitline.moderation.queue import waiting
from splitline.store.engine import Store
from splitline.store.rows import Row, SourceRow

Decide = Callable[[Store, Moderator], Awaitable[Decided]]


def run(chosen: argparse.Namespace) -> int:
    """List what is waiting or looks odd, or decide. Raises what `moderation` and `keeper` raise."""
    if chosen.decision in DECISIONS:
        return _decide(chosen, DECISIONS[chosen.decision](chosen))
    if chosen.decision == "odd":
        return _show(chosen, data.on_store(chosen, _odd), partial(review_words.odd, most=chosen.most))
    if chosen.decision == "contributor":
        found = data.on_store(chosen, lambda store: profile(store, chosen.id))
        return _show(chosen, found, partial(review_words.contributor, most=chosen.most))
    return _show(chosen, data.on_store(chosen, waiting), review_words.waiting)


def _show(chosen: argparse.Namespace, found: object, words: Callable[..., str]) -> int:
    print(json.encode(found).decode() if chosen.json else words(found))
    return 0


async def _odd(store: Store) -> Odd:
    return Odd(oddities=await oddities(store))


def _release(chosen: argparse.Namespace) -> Decide:
    async def decide(store: Store, by: Moderator) -> Decided:
        if contributors.CONTRIBUTOR.fullmatch(chosen.id):
            return _all(chosen.id, "released", await contributors.release(store, chosen.id, by, _report))
        if await source_changes.waits(store, chosen.id):
            return _of(await source_changes.confirm(store, chosen.id, by), "confirmed")
        return _of(await decisions.release(store, chosen.id, by))

    return decide


def _withhold(chosen: argparse.Namespace) -> Decide:
    async def decide(store: Store, by: Moderator) -> Decided:
        if contributors.CONTRIBUTOR.fullmatch(chosen.id):
            return _all(chosen.id, "withheld", await contributors.withhold(store, chosen.id, by, _report))
        if await source_changes.waits(store, chosen.id):
            return _of(await source_changes.refuse(store, chosen.id, by), "refused")
        return _of(await decisions.withhold(store, chosen.id, by))

    return decide


def _merge(chosen: argparse.Namespace) -> Decide:
    async def decide(store: Store, by: Moderator) -> Decided:
        return _of(await decisions.merge(store, chosen.source, chosen.into, by))

    return decide


def _unmerge(chosen: argparse.Namespace) -> Decide:
    async def decide(store: Store, by: Moderator) -> Decided:
        return _of(await decisions.unmerge(store, chosen.source, by))

    return decide


DECISIONS: dict[str | None, Callable[[argparse.Namespace], Decide]] = {
    "release": _release,
    "withhold": _withhold,
    "merge": _merge,
    "unmerge": _unmerge,
}


def _decide(chosen: argparse.Namespace, decide: Decide) -> int:
    by = Moderator((chosen.by or getpass.getuser())[:80], datetime.now(UTC), chosen.why)
    return _show(chosen, data.on_store(chosen, lambda store: _decided(store, decide, by)), review_words.decided)


async def _decided(store: Store, decide: Decide, by: Moderator) -> Decided:
    """Decide, and update the figures, since no server may be running."""
    found = await decide(store, by)
    await bring_up(store, lambda: datetime.now(UTC))
    return found


def _of(row: Row, change: str = "") -> Decided:
    """The outcome for a record; change: whether it is a source's waiting change."""
    source = row if isinstance(row, SourceRow) else None
    return Decided(
        id=row.id,
        kind="change" if change else "source" if source else "test",
        revision=row.revision,
        sequence=row.sequence,
        state=change or row.state,
        into=source.into if source else None,
    )


def _all(contributor: str, state: str, records: int) -> Decided:
    return Decided(id=contributor, kind="contributor", state=state, records=records)


def _report(done: int, total: int) -> None:
    if sys.stderr.isatty():
        print(f"\r{done:,} of {total:,} records", end="\n" if done >= total else "", file=sys.stderr, flush=True)
