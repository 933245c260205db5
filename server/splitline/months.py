"""Figures of regions by month, updated by what a batch takes away and adds.

So a push costs by its batch, not by what is stored. A month stores counts and a histogram of its visits in tenths of a
percent; the robust centre and spread come from the histogram. Rounding moves them by 0.05 at most, and a reading is
good to a percent. `recount` counts from the tests, and a test holds both together.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from msgspec import json

from splitline.learning import visits_at
from splitline.statistics.tally import centres_of, tenth_of
from splitline.store import figures, people, pumped
from splitline.store.engine import Connection
from splitline.store.figures import RegionMonthRow
from splitline.store.people import Key
from splitline.store.pumped import Month, PumpedRow

TALLY = json.Decoder(dict[int, int])


@dataclass(slots=True)
class Part:
    """What sources add to a region's month: how many they are, tests by contributor, visits by tenths of a percent.

    A visit counts once, however many tests were made at it.
    """

    sources: int = 0
    tests: Counter[str] = field(default_factory=Counter)
    contents: Counter[int] = field(default_factory=Counter)

    def add(self, other: Part, sign: int = 1) -> None:
        """Add another part to this one, or take it off."""
        self.sources += sign * other.sources
        for mine, others in ((self.tests, other.tests), (self.contents, other.contents)):
            for key, count in others.items():
                mine[key] += sign * count  # type: ignore[index]

    def __bool__(self) -> bool:
        return bool(self.sources) or any(self.tests.values()) or any(self.contents.values())


def parts_of(rows: Iterable[PumpedRow]) -> dict[Month, Part]:
    """Return what some sources add to each month; rows: all that counts at these sources in these months."""
    groups: defaultdict[tuple[str, str, str], list[PumpedRow]] = defaultdict(list)
    for row in rows:
        groups[row.region, row.month, row.source].append(row)
    parts: defaultdict[Month, Part] = defaultdict(Part)
    for (region, month, _), group in groups.items():
        part = parts[region, month]
        part.sources += 1
        for row in group:
            part.tests[row.contributor] += 1
        for visit in visits_at(group):
            part.contents[tenth_of(visit.content)] += 1
    return dict(parts)


async def follow(connection: Connection, before: Mapping[Month, Part], after: Mapping[Month, Part]) -> None:
    """Bring the months to what some sources add now, given what they added before."""
    changes: defaultdict[Month, Part] = defaultdict(Part)
    for parts, sign in ((before, -1), (after, 1)):
        for month, part in parts.items():
            changes[month].add(part, sign)
    changed = {month: change for month, change in changes.items() if change}
    if not changed:
        return
    await _follow_people(connection, changed)
    kept = await figures.months(connection, changed)
    untallied = [month for month, row in kept.items() if row.contents is None]
    for untallied_month in untallied:
        await recount(connection, *untallied_month)
    await _add(connection, {month: change for month, change in changed.items() if month not in untallied}, kept)


async def recount(connection: Connection, region: str, month: str) -> None:
    """Count one month of a region afresh, at the cost of its tests."""
    gone = await people.of_month(connection, region, month)
    await people.put_in_months(connection, dict.fromkeys(gone, 0))
    whole = parts_of(await pumped.in_months(connection, region, [month])).get((region, month), Part())
    await _add(connection, {(region, month): whole}, {})


async def _add(connection: Connection, changed: Mapping[Month, Part], kept: Mapping[Month, RegionMonthRow]) -> None:
    """Add what changed to the months as they are kept."""
    wanted = [(*month, who) for month, change in changed.items() for who in change.tests]
    earlier = await people.in_months(connection, wanted)
    counts: dict[Key, int] = {key: earlier.get(key, 0) + changed[key[0], key[1]].tests[key[2]] for key in wanted}
    await people.put_in_months(connection, counts)
    arrived = Counter((key[0], key[1]) for key in wanted if counts[key] and key not in earlier)
    arrived.subtract((key[0], key[1]) for key in wanted if not counts[key] and key in earlier)
    tallies = [_tally(kept.get(month), change) for month, change in changed.items()]
    rows = [
        _row(month, kept.get(month), change, arrived[month], tally, robust)
        for (month, change), tally, robust in zip(changed.items(), tallies, centres_of(tallies), strict=True)
    ]
    gone = [(row.region, row.month) for row in rows if not row.tests]
    await figures.put_months(connection, gone, [row for row in rows if row.tests])


async def _follow_people(connection: Connection, changed: Mapping[Month, Part]) -> None:
    """How many tests of whom count in the regions."""
    more: Counter[tuple[str, ...]] = Counter()
    for (region, _), change in changed.items():
        for who, tests in change.tests.items():
            more[region, who] += tests
    earlier = await people.in_regions(connection, more)
    await people.put_in_regions(connection, {key: earlier.get(key, 0) + tests for key, tests in more.items() if tests})


def _tally(kept: RegionMonthRow | None, change: Part) -> dict[int, int]:
    """The visits of a month by tenths of a percent, with what changes."""
    contents = TALLY.decode(kept.contents) if kept and kept.contents else {}
    for tenth, visits in change.contents.items():
        contents[tenth] = contents.get(tenth, 0) + visits
    return {tenth: visits for tenth, visits in sorted(contents.items()) if visits}


def _row(
    month: Month,
    kept: RegionMonthRow | None,
    change: Part,
    arrived: int,
    tally: dict[int, int],
    robust: tuple[float, float],
) -> RegionMonthRow:
    centre, spread = robust
    return RegionMonthRow(
        region=month[0],
        month=month[1],
        sources=(kept.sources if kept else 0) + change.sources,
        tests=(kept.tests if kept else 0) + change.tests.total(),
        contributors=(kept.contributors if kept else 0) + arrived,
        centre=centre,
        spread=spread if sum(tally.values()) > 1 else None,
        contents=json.encode(tally).decode(),
    )
