"""Rebuilds the visits whose tests changed, in the order of the changes, see `store.stale`.

The database computes them, many per statement, so a day of a thousand tests becomes one row for all later steps.
"""

from msgspec import json
from sqlalchemy import (
    ColumnElement,
    FromClause,
    Insert,
    Integer,
    String,
    bindparam,
    delete,
    func,
    insert,
    literal_column,
    select,
    tuple_,
)

from splitline.store.array_param import found_by, given
from splitline.store.driver import Connection, execute, fetch
from splitline.store.schema import changed_visits, tests, visits
from splitline.store.visits import Touched

MOST_A_DAY = 20
"""Most tests in one visit's mean."""
VISIT = ("region", "source", "contributor", "day")
CHANGE = ("since", *VISIT)
KEY = [changed_visits.c[name] for name in CHANGE]
MOST = bindparam("most", type_=Integer())
OLDEST = select(*KEY).order_by(*KEY).limit(MOST)
"""The oldest changes."""
SETTLE = delete(changed_visits).where(tuple_(*KEY) <= tuple_(*(bindparam(one.name, type_=one.type) for one in KEY)))
"""Deletes the changes up to one of them."""
TAKEN = {
    engine: select(*(value.label(name) for name, value in taken.items())).subquery("taken")
    for engine, taken in given(
        "taken", {"region": String, "source": String, "contributor": String, "day": Integer}
    ).items()
}
"""The visits to rebuild."""
TOUCHED = [visits.c[name] for name in Touched.__struct_fields__]
DROP = {
    engine: delete(visits)
    .where(tuple_(*(visits.c[name] for name in VISIT)).in_(select(*(taken.c[name] for name in VISIT))))
    .returning(*TOUCHED)
    for engine, taken in TAKEN.items()
}
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


def _made(taken: FromClause) -> Insert:
    """Inserts visits, from the first counted tests of their day."""
    values = (
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
        .select_from(taken.join(tests, counted_on_the_day(taken, literal_column(str(MOST_A_DAY)))))
        .group_by(tests.c.region, tests.c.source, tests.c.day, tests.c.contributor)
    )
    return insert(visits).from_select(list(visits.c.keys()), values).returning(*TOUCHED)


MAKE = {engine: _made(taken) for engine, taken in TAKEN.items()}


async def renew(connection: Connection, most: int) -> tuple[int, int, set[Touched]]:
    """Rebuild the visits of the oldest changes, in a write transaction.

    Returns how many changes, the first one, and what they touch.
    """
    changes = [tuple(row) for row in await fetch(connection, OLDEST, most=most)]
    if not changes:
        return 0, 0, set()
    await execute(connection, SETTLE, **dict(zip(CHANGE, changes[-1], strict=True)))
    keys = sorted({change[1:] for change in changes})
    taken = json.encode([dict(zip(VISIT, key, strict=True)) for key in keys]).decode()
    engine = connection.dialect.name
    touched = [*await fetch(connection, DROP[engine], taken=taken), *await fetch(connection, MAKE[engine], taken=taken)]
    return len(changes), changes[0][0], {Touched(*row) for row in touched}
