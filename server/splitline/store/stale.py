"""The queues of stale figures: a row for each change of a visit, and one for each source, month, region or place.

A change of a record queues what depends on it, in its own transaction; so does an update of figures that others depend
on. After recomputing, a process deletes the row unless its stamp has changed: then it went stale again meanwhile and
stays, from the first change not seen. Stamps are unique: numbers of changes, and negative numbers of updates. So
several processes can work on the queue independently. Visits are recomputed in the transaction that takes their changes
from the queue, which is only appended to: looking for a visit's earlier row would cost each push more than computing it
twice.
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any, Literal

from msgspec import Struct
from sqlalchemy import Integer, Select, bindparam, delete, exists, func, or_, select, union_all, update

from splitline.store.array_param import among
from splitline.store.driver import Connection, execute, fetch, put
from splitline.store.schema import (
    changed_visits,
    region_lessons,
    region_months,
    source_figures,
    sources,
    stale,
    tests,
    visits,
)

Kind = Literal["place", "source", "month", "region"]
"""place: a source whose state or region changed; source, month, region: figures to recompute."""
ChangedVisit = tuple[int, str, str, str, int, datetime]
"""The change's number; region, source, contributor and day; the change's time."""


class Key(Struct, frozen=True):
    """A queue row. since: the first change not in the figures; stamp: identifies what made it stale last."""

    key: str
    since: int
    stamp: int


class Backlog(Struct, frozen=True):
    """How much is stale. at: when the oldest went stale."""

    keys: int
    at: datetime | None


KEPT = ("since", "at")
"""In a row already queued only the stamp changes; in one of visits nothing does."""
WAITING = select(
    exists(select(changed_visits.c.since)),
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
EVERY = union_all(*(select(table.c.at) for table in (changed_visits, stale))).subquery()
FIRSTS = union_all(*(select(func.min(table.c.since).label("since")) for table in (changed_visits, stale))).subquery()
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


async def note_visits(connection: Connection, rows: Sequence[ChangedVisit]) -> None:
    """Queue changes of visits."""
    await put(connection, changed_visits, rows, KEPT)


async def note(connection: Connection, kind: Kind, keys: Iterable[str], since: int, stamp: int, now: datetime) -> None:
    """Queue something other than visits."""
    await put(connection, stale, [(kind, key, since, stamp, now) for key in sorted(keys)], KEPT)


async def waiting(connection: Connection) -> list[bool]:
    """Return whether there are stale visits, places, sources, months and regions."""
    [found] = await fetch(connection, WAITING)
    return [bool(one) for one in found]


async def oldest(connection: Connection, kind: Kind, most: int) -> list[Key]:
    """Return the oldest keys."""
    return [Key(*row) for row in await fetch(connection, OLDEST, kind=kind, most=most)]


async def settle(connection: Connection, kind: Kind, seen: Collection[Key], head: int, now: datetime) -> set[str]:
    """Delete rows computed from the changes up to `head`; return the keys that no other process had deleted.

    Rows that went stale again meanwhile stay, from the change after `head` on.
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
    """Return the first change that is not in the figures; without counting, since every reader of figures needs it."""
    [(since,)] = await fetch(connection, FIRST)
    return None if since is None else int(since)


async def backlog(connection: Connection) -> Backlog:
    """Return how much is stale."""
    [(keys, at)] = await fetch(connection, BACKLOG)
    return Backlog(keys, at)


async def outdated(connection: Connection, day: int, made: str) -> dict[Kind, list[str]]:
    """Return the regions and sources whose figures are for an earlier day (the season moves on) or estimator."""
    values = {"day": day, "made": f"{made}%"}
    return {kind: [key for (key,) in await fetch(connection, old, **values)] for kind, old in OLD.items()}


async def note_all(connection: Connection, since: int, stamp: int, now: datetime) -> None:
    """Queue everything."""
    await note_visits(connection, [(since, *visit, now) for visit in await fetch(connection, ALL_VISITS)])
    for kind, statement in EVERYTHING.items():
        await note(connection, kind, [key for (key,) in await fetch(connection, statement)], since, stamp, now)
