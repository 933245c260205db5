"""The newest counted tests at a source.

Those from the pump are found by their visits, those from cans and tanks by an index, so that the cost depends on how
many are shown, not on how many there are.
"""

from sqlalchemy import func, select, text, union_all

from splitline.store import merges
from splitline.store.array_param import among
from splitline.store.changed_visits import MOST, VISIT, counted_on_the_day
from splitline.store.driver import Connection, fetch_as
from splitline.store.rows import TestRow
from splitline.store.schema import FROM_CANS, tests, visits

PLACES = among(visits.c.source, "sources")
NEWER = func.sum(visits.c.tests).over(order_by=(visits.c.day.desc(), visits.c.contributor)) - visits.c.tests
AT = select(*(visits.c[name] for name in VISIT), NEWER.label("newer")).where(PLACES).subquery()
NEWEST = select(*(AT.c[name] for name in VISIT)).where(AT.c.newer < MOST).subquery()
"""The newest visits that together have enough tests."""
FROM_THE_PUMP = select(tests.c.id).select_from(NEWEST.join(tests, counted_on_the_day(NEWEST, MOST)))
other = tests.alias("other")
FROM_ELSEWHERE = (
    select(other.c.id)
    .where(text(FROM_CANS), among(other.c.source, "sources"))
    .order_by(other.c.day.desc())
    .limit(MOST)
    .subquery()
)
NEWEST_TESTS = (
    select(tests)
    .where(tests.c.id.in_(union_all(FROM_THE_PUMP, select(FROM_ELSEWHERE.c.id))))
    .order_by(tests.c.sampled_at.desc(), tests.c.id)
    .limit(MOST)
)


async def at(connection: Connection, source: str, most: int) -> list[TestRow]:
    """Return the newest counted tests at a source and those merged into it, newest first.

    Those from the pump are of the visits that the figures know.
    """
    places = [source, *await merges.members(connection, [source])]
    return await fetch_as(TestRow, connection, NEWEST_TESTS, sources=places, most=most)
