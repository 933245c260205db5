"""Figures and priors as rows of the database, and back."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from msgspec import Struct, json

from splitline.figures.compute import MADE, made
from splitline.figures.priors import NOTHING, Learned, weighed
from splitline.statistics.instrument_bias import TubeOffset
from splitline.statistics.priors import Figures, Priors, owner_named, parted
from splitline.statistics.visits import Visit, visits_of
from splitline.store import influence, region_priors, stale
from splitline.store.engine import Connection
from splitline.store.figures import Month, SourceFiguresRow
from splitline.store.influence import WeightRow
from splitline.store.region_priors import OffsetRow, RegionPriorsRow
from splitline.store.rows import day_of
from splitline.store.sequence import Head
from splitline.store.visits import VisitRow

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SECONDS_A_DAY = 86400
SEASON = json.Decoder(tuple[float, ...])


class Upto(Struct, frozen=True, kw_only=True):
    """The figures include every change up to the number `sequence`, and were last written at `at`."""

    sequence: int
    at: datetime | None


async def figures_upto(connection: Connection, head: Head) -> Upto:
    """Return the last change that the figures include. head: read on this connection before the figures."""
    first = await stale.first(connection)
    sequence = head.value if first is None else min(first - 1, head.value)
    return Upto(sequence=sequence, at=head.figures_at)


def figures_in(row: SourceFiguresRow) -> Figures:
    """Return a source's stored figures; an earlier estimator's are used until recomputed."""
    return json.decode(row.figures, type=Figures)


def moment_of(day: float) -> datetime:
    """Return the moment of a day since 1970-01-01 UTC."""
    return EPOCH + timedelta(days=day)


async def known(connection: Connection, regions: Collection[str], contributors: Iterable[str]) -> dict[str, Priors]:
    """Return the priors of each of these regions, with the offsets of these contributors' tubes."""
    rows = await region_priors.of_regions(connection, regions)
    offsets: defaultdict[str, dict[str, TubeOffset]] = defaultdict(dict)
    for row in await region_priors.offsets_of(connection, rows.keys(), contributors):
        offset = TubeOffset(row.offset, row.uncertainty, row.sources)
        offsets[row.region][owner_named(row.contributor, row.tube)] = offset
    current = {region: json.decode(row.lessons, type=Priors) for region, row in rows.items() if is_ours(row)}
    return {region: replace(current.get(region, NOTHING), offsets=offsets[region]) for region in regions}


async def weighed_at(connection: Connection, groups: Mapping[str, Sequence[VisitRow]]) -> dict[str, list[Visit]]:
    """Return the visits of some sources, with their contributors' weights in the sources' regions."""
    rows = [row for group in groups.values() for row in group]
    known = await influence.weights_of(connection, {row.home for row in rows}, {row.contributor for row in rows})
    by_region: defaultdict[str, dict[str, float]] = defaultdict(dict)
    for (region, contributor), weight in known.items():
        by_region[region][contributor] = weight
    return {source: weighed(visits_at(group), by_region[group[0].home]) for source, group in groups.items()}


def is_ours(row: RegionPriorsRow) -> bool:
    """Whether the current estimator made it; the season of an earlier one has another form."""
    return row.lessons.startswith(MADE)


def season_in(row: RegionPriorsRow) -> tuple[float, ...]:
    """Return the stored season of a region's own visits."""
    return SEASON.decode(row.season)


def rows_of(
    region: str, what: Learned, tests: int, people: int, now: datetime
) -> tuple[RegionPriorsRow, list[OffsetRow], list[WeightRow]]:
    """Return a region's priors as rows to store. tests, people: numbers that count there."""
    row = RegionPriorsRow(
        region=region,
        tests=tests,
        contributors=people,
        lessons=made(replace(what.priors, offsets=None)),
        season=json.encode(what.season).decode(),
        day=day_of(now),
        learned_at=now,
        heaviest=max(what.weights.values(), default=1.0),
    )
    offsets = [
        OffsetRow(region, *parted(owner), offset.offset, offset.uncertainty, offset.sources)
        for owner, offset in sorted((what.priors.offsets or {}).items())
    ]
    weights = [WeightRow(region, contributor, weight) for contributor, weight in sorted(what.weights.items())]
    return row, offsets, weights


def by_source(rows: Iterable[VisitRow]) -> dict[str, list[VisitRow]]:
    """Return visits by the source they count for."""
    groups: defaultdict[str, list[VisitRow]] = defaultdict(list)
    for row in rows:
        groups[row.source].append(row)
    return dict(groups)


def by_month(rows: Iterable[VisitRow]) -> dict[Month, list[VisitRow]]:
    """Return visits by region and month."""
    groups: defaultdict[Month, list[VisitRow]] = defaultdict(list)
    for row in rows:
        groups[row.region, row.month].append(row)
    return dict(groups)


def month_named(key: str) -> Month:
    """Return the region and month of a queue key."""
    region, _, month = key.partition(" ")
    return region, month


def visits_at(rows: Iterable[VisitRow]) -> list[Visit]:
    """Return the visits at one source, oldest first; visits of one person to merged sources on one day count as one."""
    return visits_of(
        Visit(
            row.sampled_at.timestamp() / SECONDS_A_DAY,
            row.content,
            row.own_variance**0.5,
            row.shared_uncertainty,
            row.contributor,
            row.tube,
        )
        for row in rows
    )
