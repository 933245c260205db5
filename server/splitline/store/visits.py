"""Visits: the mean of one person's counted tests from the pump of one source on one day. All figures come from them.

`changed_visits` computes them. A merged source's visits count for its survivor.
"""

from calendar import monthrange
from collections.abc import Collection
from datetime import UTC, date, datetime
from typing import Any

from msgspec import Struct, json
from sqlalchemy import (
    ColumnElement,
    FromClause,
    Integer,
    Select,
    String,
    Subquery,
    and_,
    bindparam,
    distinct,
    func,
    literal_column,
    or_,
    select,
)

from splitline.store.array_param import among, given
from splitline.store.driver import Connection, fetch
from splitline.store.rows import FIRST_DAY
from splitline.store.schema import contributors, sources, visits
from splitline.store.types import Instant

NEWEST = 500
"""Most visits used for a source's figures."""
REMEMBERED = 731
"""Days (two years): older visits are ignored."""
LATELY = 28
"""Days during which a contributor counts as new."""
SECONDS_A_DAY = 86400

survivor = sources.alias("survivor")


class VisitRow(Struct, frozen=True):
    """A visit, % (V/V).

    source, home: the source it counts for, and that source's region; region: where it was made. month: UTC.
    own_variance: of the mean, the part that is independent of other visits with the tube; tests: how many.
    """

    source: str
    home: str
    region: str
    month: str
    contributor: str
    tube: str
    sampled_at: datetime
    content: float
    own_variance: float
    shared_uncertainty: float
    tests: int


class Touched(Struct, frozen=True):
    """Source, region and month whose figures some visits enter."""

    source: str
    region: str
    month: str


PLACE = {
    "source": func.coalesce(survivor.c.id, sources.c.id),
    "home": func.coalesce(survivor.c.region, sources.c.region),
}
IS_MERGED_INTO = survivor.c.id == sources.c.into
STANDS = or_(sources.c.state == "counted", and_(sources.c.state == "merged", survivor.c.state == "counted"))


def _standing(*conditions: Any) -> Subquery:
    """Some visits, at counted sources and at sources merged into one.

    Both engines find the visits first, by an index, and then their sources.
    """
    chosen = select(visits).where(*conditions).cte("chosen").prefix_with("MATERIALIZED")
    columns = [(PLACE[name] if name in PLACE else chosen.c[name]).label(name) for name in VisitRow.__struct_fields__]
    return (
        select(*columns, chosen.c.day)
        .join(sources, and_(chosen.c.region == sources.c.region, chosen.c.source == sources.c.id))
        .outerjoin(survivor, IS_MERGED_INTO)
        .where(STANDS)
        .subquery()
    )


def _columns(of: FromClause) -> list[ColumnElement[Any]]:
    return [of.c[name] for name in VisitRow.__struct_fields__]


def _newest(*conditions: Any) -> Select[Any]:
    """The newest visits of each source since a day, preferring contributors known for some weeks.

    Otherwise strangers could crowd them out by numbers.
    """
    found = _standing(visits.c.day >= bindparam("since"), *conditions)
    is_new = contributors.c.first_seen_at > bindparam("lately", type_=Instant())
    order = func.row_number().over(
        partition_by=found.c.source, order_by=(is_new, found.c.day.desc(), found.c.contributor)
    )
    ranked = (
        select(*_columns(found), order.label("place"))
        .join(contributors, contributors.c.id == found.c.contributor)
        .subquery()
    )
    return (
        select(*_columns(ranked))
        .where(ranked.c.place <= literal_column(str(NEWEST)))
        .order_by(ranked.c.source, ranked.c.sampled_at, ranked.c.contributor)
    )


AT_SOURCES = _newest(among(visits.c.source, "sources"))
IS_THERE = visits.c.region == bindparam("region")
IN_REGION = _newest(IS_THERE)
IN_MONTHS = {
    engine: select(
        *_columns(_standing(visits.c.region == wanted["region"], visits.c.day.between(wanted["first"], wanted["last"])))
    )
    for engine, wanted in given("wanted", {"region": String, "first": Integer, "last": Integer}).items()
}
THERE = _standing(IS_THERE)
COUNTS = select(func.coalesce(func.sum(THERE.c.tests), 0), func.count(distinct(THERE.c.contributor)))
PLACES_OF = select(_standing(IS_THERE, among(visits.c.contributor, "contributors")).c.source)
OF_PLACES = (
    select(*(visits.c[name] for name in Touched.__struct_fields__)).where(among(visits.c.source, "sources")).distinct()
)


async def at(connection: Connection, places: Collection[str], today: int) -> list[VisitRow]:
    """Return the newest visits at some sources and those merged into them, by source and time."""
    return [VisitRow(*row) for row in await fetch(connection, AT_SOURCES, sources=list(places), **_until(today))]


async def in_region(connection: Connection, region: str, today: int) -> list[VisitRow]:
    """Return the newest visits of each source in a region, by source and time."""
    return [VisitRow(*row) for row in await fetch(connection, IN_REGION, region=region, **_until(today))]


def _until(today: int) -> dict[str, Any]:
    lately = datetime.fromtimestamp((today - LATELY) * SECONDS_A_DAY, UTC)
    return {"since": today - REMEMBERED, "lately": lately}


async def in_months(connection: Connection, wanted: Collection[tuple[str, str]]) -> list[VisitRow]:
    """Return the visits made in some regions' months."""
    days = [{"region": region, **_days_of(month)} for region, month in sorted(wanted)]
    statement = IN_MONTHS[connection.dialect.name]
    return [VisitRow(*row) for row in await fetch(connection, statement, wanted=json.encode(days).decode())]


def _days_of(month: str) -> dict[str, int]:
    """The first and the last day of a month such as 2026-01, since 1970-01-01."""
    begun = date.fromisoformat(f"{month}-01")
    first = begun.toordinal() - FIRST_DAY
    return {"first": first, "last": first + monthrange(begun.year, begun.month)[1] - 1}


async def counts(connection: Connection, region: str) -> tuple[int, int]:
    """Return the numbers of counted tests and of contributors in a region."""
    [(tests_there, people)] = await fetch(connection, COUNTS, region=region)
    return int(tests_there), int(people)


async def parts_of(connection: Connection, places: Collection[str]) -> set[Touched]:
    """Return the regions and months in which some sources have visits."""
    return {Touched(*row) for row in await fetch(connection, OF_PLACES, sources=list(places))}


async def places_of(connection: Connection, region: str, contributors: Collection[str]) -> set[str]:
    """Return the sources with visits by some contributors in a region."""
    return {source for (source,) in await fetch(connection, PLACES_OF, region=region, contributors=list(contributors))}
