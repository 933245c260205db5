"""The queue of what is not up to date: one row for each visit, source, month, region or place.

A record's change puts into it what follows from it, in its own transaction, and so does an update of figures that
others are made of. Whoever has computed something anew takes its row out, unless its stamp is another by then: it went
stale again meanwhile and stays, from the first change that was not seen. Stamps never come twice: they are the numbers
of changes, and below zero those of updates. So several processes may work on the queue without knowing of each other.
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any, Literal

from msgspec import Struct
from sqlalchemy import Integer, Select, bindparam, delete, exists, func, or_, select, union_all, update

from splitline.store.array_param import among
from splitline.store.driver import Connection, execute, fetch, put
from splitline.store.schema import (
    region_lessons,
    region_months,
    source_figures,
    sources,
    stale,
    stale_visits,
    tests,
    visits,
)

Kind = Literal["place", "source", "month", "region"]
"""place: a source whose state or region changed; source, month, region: whose figures are to be computed anew."""
StaleVisit = tuple[str, str, str, int, int, int, datetime]
"""Region, source, contributor and day, and since, stamp and at of the queue."""


class Key(Struct, frozen=True):
    """Something stale. since: its first change that is not in the figures; stamp: names what made it stale last."""

    key: str
    since: int
    stamp: int


class Backlog(Struct, frozen=True):
    """How much is stale. at: when the oldest went stale."""

    keys: int
    at: datetime | None


KEPT = ("since", "at")
"""Of a row that is there already only the stamp changes."""
WAITING = select(
    exists(select(stale_visits.c.since)),
    *(exists(select(stale.c.since).where(stale.c.kind == kind)) for kind in ("place", "source", "month", "region")),
)
OLDEST = (
    select(stale.c.key, stale.c.since, stale.c.stamp)
    .where(stale.c.kind == bindparam("kind"))
    .order_by(stale.c.since, stale.c.key)
    .limit(bindparam("most", type_=Integer()))
)
LEFT = select(stale.c.key, stale.c.stamp).where(stale.c.kind == bindparam("kind"), among(stale.c.key, "keys"))
SETTLE = delete(stale).where(stale.c.kind == bindparam("kind"), among(stale.c.key, "keys"))
MOVE_ON = (
    update(stale)
    .where(stale.c.kind == bindparam("of_kind"), among(stale.c.key, "keys"))
    .values(since=bindparam("next"), at=bindparam("now"))
)
EVERY = union_all(*(select(table.c.at) for table in (stale_visits, stale))).subquery()
FIRSTS = union_all(*(select(func.min(table.c.since).label("since")) for table in (stale_visits, stale))).subquery()
FIRST = select(func.min(FIRSTS.c.since))
BACKLOG = select(func.count(), func.min(EVERY.c.at))
OLD: dict[Kind, Select[str]] = {
    "region": select(region_lessons.c.region).where(
        or_(region_lessons.c.day < bindparam("day"), region_lessons.c.lessons.not_like(bindparam("made")))
    ),
    "source": select(source_figures.c.source).where(
        or_(source_figures.c.day < bindparam("day"), source_figures.c.figures.not_like(bindparam("made")))
    ),
}
EVERYTHING: dict[Kind, Select[Any]] = {
    "place": select(sources.c.id),
    "source": select(source_figures.c.source),
    "month": select(region_months.c.region + " " + region_months.c.month),
    "region": select(region_lessons.c.region),
}
COUNTING = (tests.c.state == "counted", tests.c.sampled == "pump")
ALL_VISITS = (
    select(tests.c.region, tests.c.source, tests.c.contributor, tests.c.day)
    .where(*COUNTING)
    .union(select(visits.c.region, visits.c.source, visits.c.contributor, visits.c.day))
)


async def note_visits(connection: Connection, rows: Sequence[StaleVisit]) -> None:
    """Put visits into the queue, each once."""
    await put(connection, stale_visits, rows, KEPT)


async def note(connection: Connection, kind: Kind, keys: Iterable[str], since: int, stamp: int, now: datetime) -> None:
    """Put something else into the queue."""
    await put(connection, stale, [(kind, key, since, stamp, now) for key in sorted(keys)], KEPT)


async def waiting(connection: Connection) -> list[bool]:
    """Return whether there are stale visits, places, sources, months and regions."""
    [found] = await fetch(connection, WAITING)
    return [bool(one) for one in found]


async def oldest(connection: Connection, kind: Kind, most: int) -> list[Key]:
    """Return what went stale first."""
    return [Key(*row) for row in await fetch(connection, OLDEST, kind=kind, most=most)]


async def settle(connection: Connection, kind: Kind, seen: Collection[Key], head: int, now: datetime) -> set[str]:
    """Take out what was computed from the changes up to `head`; return the keys that nobody else took out before.

    What went stale again meanwhile stays, from the change after `head` on.
    """
    known = {key.key: key.stamp for key in seen}
    left: dict[str, int] = dict(await fetch(connection, LEFT, kind=kind, keys=list(known)))
    again = [key for key, stamp in left.items() if stamp != known[key]]
    await _each(connection, SETTLE, kind=kind, keys=[key for key in left if key not in again])
    await _each(connection, MOVE_ON, of_kind=kind, keys=again, next=head + 1, now=now)
    return set(left)


async def _each(connection: Connection, statement: object, keys: list[str], **values: object) -> None:
    if keys:
        await execute(connection, statement, keys=keys, **values)  # type: ignore[arg-type]


async def first(connection: Connection) -> int | None:
    """Return the first change that is not in the figures: without counting, as whoever reads figures asks for it."""
    [(since,)] = await fetch(connection, FIRST)
    return None if since is None else int(since)


async def backlog(connection: Connection) -> Backlog:
    """Return how much is stale."""
    [(keys, at)] = await fetch(connection, BACKLOG)
    return Backlog(keys, at)


async def outdated(connection: Connection, day: int, made: str) -> dict[Kind, list[str]]:
    """Return the regions and sources whose figures are for an earlier day (the season goes on) or begin otherwise."""
    values = {"day": day, "made": f"{made}%"}
    return {kind: [key for (key,) in await fetch(connection, old, **values)] for kind, old in OLD.items()}


async def note_all(connection: Connection, since: int, stamp: int, now: datetime) -> None:
    """Put everything into the queue that there is."""
    await note_visits(connection, [(*visit, since, stamp, now) for visit in await fetch(connection, ALL_VISITS)])
    for kind, statement in EVERYTHING.items():
        await note(connection, kind, [key for (key,) in await fetch(connection, statement)], since, stamp, now)
