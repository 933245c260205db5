"""Ranks sources by what a driver can expect of the next fill, and how certain that is."""

from collections.abc import Iterable, Mapping
from math import inf
from typing import Literal

from splitline.api.shapes import LevelChange, Ranked, RankedList, RankQuery, SourceFigures
from splitline.figures.figure_rows import Upto, figures_in, moment_of
from splitline.intake.working_set import record_of
from splitline.position import Position, bearing_deg, distance_km
from splitline.records import Source
from splitline.statistics.steadiness import Estimate, probability_at_least
from splitline.statistics.visits import LIGHT
from splitline.store.figures import SourceFiguresRow
from splitline.store.rows import SourceRow

Order = Literal["steadiest", "floor", "nearest"]


def ranked_list(
    rows: Iterable[SourceRow],
    figures: Mapping[str, SourceFiguresRow],
    near: Position,
    query: RankQuery,
    upto: Upto,
) -> RankedList:
    """Return the sources in reach in the order asked for, and separately those without a test."""
    tested: list[tuple[tuple[float, ...], Ranked]] = []
    untested: list[tuple[float, Ranked]] = []
    for row in rows:
        known = figures.get(row.id)
        source = ranked(row, known, near, query.minimum)
        distance = source.distance_km if source.distance_km is not None else inf
        if distance > query.within_km:
            continue
        if known:
            tested.append((_rank(figures_in(known).estimate, distance, query.order), source))
        else:
            untested.append((distance, source))
    return RankedList(sources=_first(tested, query.limit), unsampled=_first(untested, query.limit), figures_upto=upto)


def _first(entries: Iterable[tuple[object, Ranked]], limit: int) -> tuple[Ranked, ...]:
    """The first ones by their sort key; ties by name, as on the phone."""
    ordered = sorted(entries, key=lambda entry: (entry[0], entry[1].name, entry[1].id))
    return tuple(source for _, source in ordered[:limit])


def _rank(estimate: Estimate, distance: float, order: Order) -> tuple[float, ...]:
    """Sort key, lowest first. It uses bounds, not middles, so that sources with few tests rank lower.

    Sources that only strangers have tested come after those tested by contributors known for some weeks.
    """
    if order == "nearest":
        return (distance, -estimate.evidence)
    first = estimate.tau_bound if order == "steadiest" else -estimate.floor
    return (float(estimate.heaviest < LIGHT), first, -estimate.evidence)


def ranked(row: SourceRow, known: SourceFiguresRow | None, near: Position | None, minimum: float) -> Ranked:
    """Return a source as seen by a driver at a position."""
    source = record_of(row)
    assert isinstance(source, Source), "a counted source has its record"
    there = Position(source.latitude, source.longitude)
    return Ranked(
        id=row.id,
        name=source.name,
        pump=source.pump,
        latitude=source.latitude,
        longitude=source.longitude,
        region=row.region,
        distance_km=distance_km(near, there) if near else None,
        bearing_deg=bearing_deg(near, there) if near else None,
        figures=_figures(known, minimum) if known else None,
    )


def _figures(known: SourceFiguresRow, minimum: float) -> SourceFigures:
    figures = figures_in(known)
    estimate = figures.estimate
    return SourceFigures(
        typical=estimate.typical,
        typical_interval=estimate.typical_interval,
        tau=estimate.tau,
        tau_interval=estimate.tau_interval,
        next_fill=estimate.next_fill,
        floor=estimate.floor,
        probability_at_minimum=probability_at_least(estimate.next_fill_quantiles, minimum),
        tests=known.tests,
        visits=estimate.visits,
        contributors=estimate.contributors,
        established=estimate.established,
        last_sampled_at=moment_of(estimate.last_sampled_at),
        evidence=estimate.evidence,
        changes=tuple(LevelChange(at=moment_of(c.at), direction=c.direction) for c in figures.changes),
        season_uncertainty=estimate.season_uncertainty,
        wrong=tuple(moment_of(at) for at in figures.wrong),
    )
