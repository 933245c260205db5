"""`splitline review`: what waits for a moderator, and what a moderator decides.

It runs on the machine that has the database. There is no way in over HTTP, so there is no key to steal or guess.
"""

import argparse
import getpass
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime

from msgspec import Struct, json

from splitline import moderation
from splitline.commands import data
from splitline.figures.schedule import bring_up
from splitline.moderation import Moderator
from splitline.reviewing import Waiting, WaitingSource, WaitingTest, waiting
from splitline.store.engine import Store
from splitline.store.rows import Row, SourceRow

Decide = Callable[[Store, Moderator], Awaitable[Row]]


class Decided(Struct, frozen=True, kw_only=True):
    """What became of a record."""

    id: str
    kind: str
    revision: int
    sequence: int
    state: str
    into: str | None


def run(chosen: argparse.Namespace) -> int:
    """List what waits, or decide. Raises what `moderation` raises."""
    return _list(chosen) if chosen.decision in (None, "list") else _decide(chosen, DECISIONS[chosen.decision](chosen))


def _list(chosen: argparse.Namespace) -> int:
    found = data.on_store(chosen, waiting)
    print(json.encode(found).decode() if chosen.json else _as_text(found))
    return 0


DECISIONS: dict[str, Callable[[argparse.Namespace], Decide]] = {
    "release": lambda chosen: lambda store, by: moderation.release(store, chosen.id, by),
    "withhold": lambda chosen: lambda store, by: moderation.withhold(store, chosen.id, by),
    "merge": lambda chosen: lambda store, by: moderation.merge(store, chosen.source, chosen.into, by),
    "unmerge": lambda chosen: lambda store, by: moderation.unmerge(store, chosen.source, by),
}


def _decide(chosen: argparse.Namespace, decide: Decide) -> int:
    by = Moderator((chosen.by or getpass.getuser())[:80], datetime.now(UTC), chosen.why)
    row = data.on_store(chosen, lambda store: _decided(store, decide, by))
    source = isinstance(row, SourceRow)
    decided = Decided(
        id=row.id,
        kind="source" if source else "test",
        revision=row.revision,
        sequence=row.sequence,
        state=row.state,
        into=row.into if isinstance(row, SourceRow) else None,
    )
    print(json.encode(decided).decode() if chosen.json else f"{decided.kind} {decided.id} is {_state(decided)} now.")
    return 0


async def _decided(store: Store, decide: Decide, by: Moderator) -> Row:
    """Decide, and bring the figures up to date: there may be no server beside this."""
    row = await decide(store, by)
    await bring_up(store, lambda: datetime.now(UTC))
    return row


def _state(decided: Decided) -> str:
    return f"merged into {decided.into}" if decided.into else decided.state


def _as_text(found: Waiting) -> str:
    lines = [*map(_test, found.tests), *map(_source, found.sources)]
    return "\n".join(lines) or "Nothing waits."


def _test(test: WaitingTest) -> str:
    head = (
        f"test {test.id}, {test.state}: {test.content:.1f} % (V/V) ± {test.expanded_uncertainty:.1f} at "
        f"{test.source_name} ({test.region}), {test.sampled_at:%Y-%m-%d %H:%M} UTC, by {test.contributor}"
    )
    return "\n".join([head, *(f"  {reason.code}: {reason.sentence}" for reason in test.reasons)])


def _source(source: WaitingSource) -> str:
    head = f"source {source.id}, {source.state}: {source.name} ({source.region}), by {source.contributor}"
    return f"{head}\n  may be {source.similar_to} ({source.similar_name})" if source.similar_to else head
