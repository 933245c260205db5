"""Finds what looks odd in the records, even if it counts. Odd is not wrong: typing in a notebook looks odd too.

The limits are our own choice: a single evening at the pumps, or a fortnight without a signal, should stay below them.
"""

from collections import defaultdict
from collections.abc import AsyncIterator, Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from math import sqrt
from typing import Literal

from msgspec import Struct, json

from splitline.records import Source
from splitline.statistics.instrument_bias import USUAL
from splitline.store import contributor_counts, contributors, sources
from splitline.store.contributor_counts import Arrived, At, OfDay, Offset
from splitline.store.engine import Store
from splitline.store.rows import FIRST_DAY, SourceRow, day_of

TOGETHER = timedelta(hours=1)
DAYS_BACK = 2
"""A reading is back-dated if it is dated at least this many days before its arrival."""
BURST = 8
"""Number of back-dated readings arriving together that makes a burst."""
ONE_DAY = 10
"""Number of readings of one contributor dated to one day that is odd."""
ALONE = 5
"""Number of readings of a contributor with one source, or at a source with one contributor, that is odd."""
FACTOR = 2.0
"""Coverage factor (95 %) for the largest difference expected between sound tubes."""

Kind = Literal["burst", "one_day", "disagrees", "one_source", "one_contributor"]


class Oddity(Struct, frozen=True, kw_only=True):
    """Something odd about a contributor, and about a source if one is involved. tests: how many; see: a command."""

    kind: Kind
    contributor: str
    source: str | None = None
    tests: int | None = None
    sentence: str
    see: str


async def oddities(store: Store) -> list[Oddity]:
    """Return what looks odd, by kind, most tests first. Reads every test from a snapshot, so no writer waits."""
    async with store.snapshot() as connection:
        bursts = await _bursts(contributor_counts.arrivals(connection))
        days = await contributor_counts.days(connection, ONE_DAY)
        alone = await _alone(contributor_counts.places(connection))
        offsets = [one for one in await contributor_counts.offsets(connection) if _is_beyond(one)]
        named = await sources.by_ids(connection, {one.source for one in alone})
        seen = await contributors.first_seen(connection, {burst[0].contributor for burst in bursts})
    return [
        *(_burst(one, seen[one[0].contributor]) for one in bursts),
        *(_day(one) for one in sorted(days, key=lambda one: -one.tests)),
        *(_offset(one) for one in sorted(offsets, key=lambda one: -abs(one.offset))),
        *(_alone_in(one, named) for one in sorted(alone, key=lambda one: (not one.only_there, -one.tests))),
    ]


async def _bursts(arrivals: AsyncIterator[Arrived]) -> list[list[Arrived]]:
    """Back-dated readings that came within an hour of the first of them, by contributor."""
    dated_back: defaultdict[str, list[Arrived]] = defaultdict(list)
    async for one in arrivals:
        if day_of(one.received_at) - one.day >= DAYS_BACK:
            dated_back[one.contributor].append(one)
    found = [burst for group in dated_back.values() for burst in _together(group) if _count(burst) >= BURST]
    return sorted(found, key=lambda burst: (-_count(burst), burst[0].contributor))


def _together(arrived: list[Arrived]) -> Iterator[list[Arrived]]:
    burst: list[Arrived] = []
    for one in sorted(arrived, key=lambda one: (one.received_at, one.day)):
        if burst and one.received_at - burst[0].received_at > TOGETHER:
            yield burst
            burst = []
        burst.append(one)
    yield burst


def _count(burst: Sequence[Arrived]) -> int:
    return sum(one.tests for one in burst)


def _burst(burst: Sequence[Arrived], seen: datetime) -> Oddity:
    who, count, days = burst[0].contributor, _count(burst), sorted({one.day for one in burst})
    first, last = burst[0].received_at, burst[-1].received_at
    minutes = round((last - first).total_seconds() / 60)
    came = f"within {minutes} minutes" if minutes else "at once"
    over = f"over {len(days)} days, {_date(days[0])} to {_date(days[-1])}" if len(days) > 1 else f"to {_date(days[0])}"
    sentence = (
        f"{count} readings of {who} arrived {came} on {_moment(first)} and are back-dated {over}; "
        f"this server first saw them on {seen.astimezone(UTC):%Y-%m-%d}."
    )
    return _oddity("burst", who, sentence, tests=count)


def _day(one: OfDay) -> Oddity:
    where = "one source" if one.sources == 1 else f"{one.sources} sources"
    sentence = f"{one.contributor} dates {one.tests} readings to one day, {_date(one.day)}, at {where}."
    return _oddity("one_day", one.contributor, sentence, tests=one.tests)


def _is_beyond(one: Offset) -> bool:
    """Whether a tube differs from others by more than sound tubes do."""
    return abs(one.offset) > FACTOR * sqrt(USUAL**2 + one.uncertainty**2)


def _offset(one: Offset) -> Oddity:
    which = "higher" if one.offset > 0 else "lower"
    where = "the one source they share" if one.sources == 1 else f"the {one.sources} sources they share"
    sentence = (
        f"{one.contributor} reads {abs(one.offset):.1f} ± {FACTOR * one.uncertainty:.1f} points (95 %) {which} than "
        f"others with tube {one.tube or 'without a name'}, at {where} in {one.region}."
    )
    return _oddity("disagrees", one.contributor, sentence)


class _Alone(Struct, frozen=True):
    """A contributor with no other source (only_there), at a source with no other contributor (only_they), or both."""

    contributor: str
    source: str
    tests: int
    only_there: bool
    only_they: bool


async def _alone(places: AsyncIterator[At]) -> list[_Alone]:
    at_places: defaultdict[str, int] = defaultdict(int)
    people: defaultdict[str, int] = defaultdict(int)
    many = []
    async for one in places:
        at_places[one.contributor] += 1
        people[one.source] += 1
        if one.tests >= ALONE:
            many.append(one)
    found = [
        _Alone(one.contributor, one.source, one.tests, at_places[one.contributor] == 1, people[one.source] == 1)
        for one in many
    ]
    return [one for one in found if one.only_there or one.only_they]


def _alone_in(one: _Alone, named: dict[str, SourceRow]) -> Oddity:
    row = named.get(one.source)
    name = json.decode(row.record, type=Source).name if row and row.record else "a withdrawn source"
    where, count = f"{name} ({row.region if row else '?'}, {one.source})", f"{one.tests} readings"
    if not one.only_there:
        sentence = f"{where} rests on one contributor, {one.contributor}: {count}."
        return _oddity("one_contributor", one.contributor, sentence, one.source, one.tests)
    others = "nobody else has tested there" if one.only_they else "others have tested there too"
    sentence = f"{one.contributor} has reported one source only, {where}: {count}; {others}."
    return _oddity("one_source", one.contributor, sentence, one.source, one.tests)


def _oddity(kind: Kind, who: str, sentence: str, source: str | None = None, tests: int | None = None) -> Oddity:
    see = f"splitline review contributor {who}"
    return Oddity(kind=kind, contributor=who, source=source, tests=tests, sentence=sentence, see=see)


def _date(day: int) -> str:
    return date.fromordinal(day + FIRST_DAY).isoformat()


def _moment(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y-%m-%d at %H:%M} UTC"
