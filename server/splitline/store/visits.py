"""Visits: the mean of one person's counted tests from the pump of one source on one day. All figures come from them.

The database computes them, many per statement, so a day of a thousand tests becomes one row for all later steps.
A merged source's visits count for its survivor.
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
    and_,
    bindparam,
    delete,
    distinct,
    func,
    insert,
    literal_column,
    or_,
    select,
    tuple_,
)

from splitline.store.array_param import among, found_by, given
from splitline.store.driver import Connection, execute, fetch
from splitline.store.rows import FIRST_DAY
from splitline.store.schema import changed_visits, contributors, sources, tests, visits
from splitline.store.types import Instant

NEWEST = 500
"""Most visits used for a source's figures."""
REMEMBERED = 731
"""Days (two years): older visits are ignored."""
LATELY = 28
"""Days during which a contributor counts as new."""
SECONDS_A_DAY = 86400
MOST_A_DAY = 20
"""Most tests in one visit's mean."""

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


VISIT = ("region", "source", "contributor", "day")
MOST = bindparam("most", type_=Integer())
OLDEST = select(*changed_visits.c).order_by(*changed_visits.primary_key).limit(MOST).subquery()
"""The oldest changes."""
IS_TAKEN = select(*(OLDEST.c[name] for name in VISIT)).distinct()
TAKEN = IS_TAKEN.subquery()
"""The visits they change."""
SPAN = select(func.min(OLDEST.c.since), func.count())
IS_CHANGED = tuple_(*(visits.c[name] for name in VISIT)).in_(IS_TAKEN)
TOUCHED = select(*(visits.c[name] for name in Touched.__struct_fields__)).where(IS_CHANGED).distinct()
DROP = delete(visits).where(IS_CHANGED)
first = tests.alias("first")


def counted_on_the_day(visit: FromClause, most: ColumnElement[int]) -> ColumnElement[bool]:
    """The condition that a test is one of the first few that count on a visit's day.

    By an index, so that nobody can make a visit expensive to compute or to show.
    """
    of_the_day = (
        select(first.c.id)
        .where(*(first.c[name] == visit.c[name] for name in VISIT))
        .where(first.c.state == "counted", first.c.sampled == "pump")
        .order_by(first.c.twin_key, first.c.id)
        .limit(most)
        .correlate(visit)
    )
    return found_by(tests.c.id, of_the_day)


MADE = (
    select(
        tests.c.region,
        tests.c.day,
        tests.c.source,
        tests.c.contributor,
        func.min(tests.c.month),
        func.coalesce(func.min(tests.c.tube), ""),
        func.min(tests.c.sampled_at),
        func.avg(tests.c.content),
        func.sum(tests.c.own_uncertainty * tests.c.own_uncertainty) / (func.count() * func.count()),
        func.avg(tests.c.shared_uncertainty),
        func.count(),
    )
    .select_from(TAKEN.join(tests, counted_on_the_day(TAKEN, literal_column(str(MOST_A_DAY)))))
    .group_by(tests.c.region, tests.c.source, tests.c.day, tests.c.contributor)
)
MAKE = insert(visits).from_select(list(visits.c.keys()), MADE)
SETTLE = delete(changed_visits).where(
    tuple_(*changed_visits.primary_key).in_(select(*(OLDEST.c[one.name] for one in changed_visits.primary_key)))
)


async def renew(connection: Connection, most: int) -> tuple[int, int, set[Touched]]:
    """Rebuild the visits of the oldest changes, in a write transaction.

    Returns how many changes, the first one, and what they touch.
    """
    [(since, count)] = await fetch(connection, SPAN, most=most)
    if not count:
        return 0, 0, set()
    touched = {Touched(*row) for row in await fetch(connection, TOUCHED, most=most)}
    await execute(connection, DROP, most=most)
    await execute(connection, MAKE, most=most)
    touched |= {Touched(*row) for row in await fetch(connection, TOUCHED, most=most)}
    await execute(connection, SETTLE, most=most)
    return count, since, touched


PLACE = {
    "source": func.coalesce(survivor.c.id, sources.c.id),
    "home": func.coalesce(survivor.c.region, sources.c.region),
}
IS_MERGED_INTO = survivor.c.id == sources.c.into
STANDS = or_(sources.c.state == "counted", and_(sources.c.state == "merged", survivor.c.state == "counted"))


def _standing(*columns: Any) -> Select[Any]:
    """Selects visits at counted sources and at sources merged into one."""
    return (
        select(*columns)
        .select_from(visits)
        .join(sources, and_(visits.c.region == sources.c.region, visits.c.source == sources.c.id))
        .outerjoin(survivor, IS_MERGED_INTO)
        .where(STANDS)
    )


COLUMNS = [(PLACE[name] if name in PLACE else visits.c[name]).label(name) for name in VisitRow.__struct_fields__]


def _newest(*conditions: Any) -> Select[Any]:
    """The newest visits of each source since a day, preferring contributors known for some weeks.

    Otherwise strangers could crowd them out by numbers.
    """
    is_new = contributors.c.first_seen_at > bindparam("lately", type_=Instant())
    order = func.row_number().over(
        partition_by=PLACE["source"], order_by=(is_new, visits.c.day.desc(), visits.c.contributor)
    )
    ranked = (
        _standing(*COLUMNS, order.label("place"))
        .join(contributors, contributors.c.id == visits.c.contributor)
        .where(visits.c.day >= bindparam("since"), *conditions)
        .subquery()
    )
    chosen = [ranked.c[name] for name in VisitRow.__struct_fields__]
    return (
        select(*chosen)
        .where(ranked.c.place <= literal_column(str(NEWEST)))
        .order_by(ranked.c.source, ranked.c.sampled_at, ranked.c.contributor)
    )


AT_SOURCES = _newest(among(visits.c.source, "sources"))
IN_REGION = _newest(visits.c.region == bindparam("region"))
IN_MONTHS = {
    engine: _standing(*COLUMNS).where(
        visits.c.region == wanted["region"], visits.c.day.between(wanted["first"], wanted["last"])
    )
    for engine, wanted in given("wanted", {"region": String, "first": Integer, "last": Integer}).items()
}
COUNTS = _standing(func.coalesce(func.sum(visits.c.tests), 0), func.count(distinct(visits.c.contributor))).where(
    visits.c.region == bindparam("region")
)
PLACES_OF = _standing(PLACE["source"]).where(
    visits.c.region == bindparam("region"), among(visits.c.contributor, "contributors")
)
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
