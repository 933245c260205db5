"""Tests: readings, and the server's figures for them."""

from collections.abc import Collection, Container, Iterable

from msgspec import Struct, json
from msgspec.structs import replace
from sqlalchemy import (
    Integer,
    String,
    Text,
    and_,
    bindparam,
    delete,
    exists,
    func,
    or_,
    select,
    text,
    type_coerce,
    union_all,
)

from splitline.store.array_param import among, given
from splitline.store.driver import Connection, add, execute, fetch, fetch_as
from splitline.store.rows import ALL_WITHHELD, TestRow, values
from splitline.store.schema import ASIDE, sources, tests

survivor = sources.alias()
MERGED = exists().where(survivor.c.id == sources.c.into, survivor.c.state == "counted")
AT_STANDING = and_(
    tests.c.region == sources.c.region,
    tests.c.source == sources.c.id,
    or_(sources.c.state == "counted", and_(sources.c.state == "merged", MERGED)),
)
LIMIT = bindparam("limit", type_=Integer)
BY_IDS = select(tests).where(among(tests.c.id, "ids"))
DROP = delete(tests).where(among(tests.c.id, "ids"))
AT_SOURCES = select(tests).where(among(tests.c.source, "sources"))
FIRST, LAST = (
    select(extreme(tests.c.contributor))
    .where(tests.c.source == sources.c.id, tests.c.region == sources.c.region)
    .correlate(sources)
    .scalar_subquery()
    for extreme in (func.min, func.max)
)
"""The first and last contributor in the index: fast however many tests a source has."""
USERS = union_all(*(select(sources.c.id, who).where(among(sources.c.id, "sources")) for who in (FIRST, LAST)))
LIKE = given("like", {"source": String, "region": String, "contributor": String, "day": Integer, "twin_key": String})
DUPLICATES = {
    engine: select(tests.c.contributor, tests.c.twin_key, tests.c.id).where(
        *(tests.c[name] == value for name, value in like.items())
    )
    for engine, like in LIKE.items()
}

COUNT_HELD = select(func.count()).where(text(ASIDE), tests.c.state == "held", tests.c.retracted.is_(False))
WITH_ALL = type_coerce(tests.c.flags, Text).contains(ALL_WITHHELD, autoescape=True)
SET_ASIDE = select(tests).where(text(ASIDE), tests.c.retracted.is_(False), ~WITH_ALL).order_by(tests.c.sequence)
BY_CONTRIBUTOR = tests.c.contributor == bindparam("contributor")
IN_USE = or_(tests.c.state == "counted", tests.c.state == "held")
IN_USE_OF = select(tests.c.id).where(BY_CONTRIBUTOR, IN_USE).order_by(tests.c.sequence)
ALL_WITHHELD_COUNTS = (
    select(tests.c.contributor, func.count()).where(text(ASIDE), WITH_ALL).group_by(tests.c.contributor)
)
ALL_WITHHELD_OF = select(tests.c.id).where(BY_CONTRIBUTOR, text(ASIDE), WITH_ALL).order_by(tests.c.sequence)
COUNTED_IN = (
    select(tests)
    .where(tests.c.state == "counted", AT_STANDING)
    .where(tests.c.region == bindparam("region"), tests.c.sequence > bindparam("after"))
    .order_by(tests.c.sequence)
    .limit(LIMIT)
)

OF_EARLIER_MODEL = (
    select(tests)
    .where(tests.c.model < bindparam("model", type_=Integer), tests.c.id > bindparam("after"))
    .order_by(tests.c.id)
    .limit(LIMIT)
)


async def by_ids(connection: Connection, ids: Iterable[str]) -> dict[str, TestRow]:
    """Return the tests with these ids, retracted ones included."""
    return {row.id: row for row in await fetch_as(TestRow, connection, BY_IDS, ids=set(ids))}


async def drop(connection: Connection, ids: Collection[str]) -> None:
    """Delete the rows of some tests."""
    await execute(connection, DROP, ids=list(ids))


async def put(connection: Connection, rows: Collection[TestRow], earlier: Container[str]) -> None:
    """Replace the rows with the same ids, in whatever region; earlier: ids that are already stored.

    Duplicates are stored without their key: nothing is a duplicate of them, and finding the first of many stays cheap.
    """
    await drop(connection, [row.id for row in rows if row.id in earlier])
    await add(connection, tests, values(replace(row, twin_key="") if row.is_duplicate else row for row in rows))


async def at_sources(connection: Connection, ids: Iterable[str]) -> list[TestRow]:
    """Return all tests that were made at these sources."""
    return await fetch_as(TestRow, connection, AT_SOURCES, sources=set(ids))


async def of_earlier_model(connection: Connection, model: int, after: str, limit: int) -> list[TestRow]:
    """Return up to `limit` tests with figures from an earlier tube model, by id, after an id."""
    return await fetch_as(TestRow, connection, OF_EARLIER_MODEL, model=model, after=after, limit=limit)


async def count_held(connection: Connection) -> int:
    """Return the number of held tests."""
    [(count,)] = await fetch(connection, COUNT_HELD)
    return int(count)


async def set_aside(connection: Connection) -> list[TestRow]:
    """Return the tests that are individually held or withheld, in order of change."""
    return await fetch_as(TestRow, connection, SET_ASIDE)


async def all_withheld_counts(connection: Connection) -> dict[str, int]:
    """Return, by contributor, the number of tests withheld with all of their records."""
    return dict(await fetch(connection, ALL_WITHHELD_COUNTS))


async def in_use_of(connection: Connection, contributor: str) -> list[str]:
    """Return the ids of a contributor's counted or held tests, in order of change; scans every test."""
    return [test for (test,) in await fetch(connection, IN_USE_OF, contributor=contributor)]


async def all_withheld_of(connection: Connection, contributor: str) -> list[str]:
    """Return the ids of a contributor's tests withheld with all of their records, in order of change."""
    return [test for (test,) in await fetch(connection, ALL_WITHHELD_OF, contributor=contributor)]


async def users(connection: Connection, ids: Iterable[str]) -> list[tuple[str, str]]:
    """Return source and contributor of tests at some sources; at most two contributors per source."""
    return [(source, who) for source, who in await fetch(connection, USERS, sources=set(ids)) if who]


class Like(Struct, frozen=True):
    """What duplicates have in common."""

    source: str
    region: str
    contributor: str
    day: int
    twin_key: str


async def duplicates(connection: Connection, like: Collection[Like]) -> list[tuple[str, str, str]]:
    """Return contributor, `twin_key` and id of matching tests that are not duplicates themselves."""
    if not like:
        return []
    rows = await fetch(connection, DUPLICATES[connection.dialect.name], like=json.encode(like).decode())
    return [(who, key, test) for who, key, test in rows]


async def counted_in(connection: Connection, region: str, after: int, limit: int) -> list[TestRow]:
    """Return up to `limit` counted tests at counted sources of a region, in order of change, after a number."""
    return await fetch_as(TestRow, connection, COUNTED_IN, region=region, after=after, limit=limit)
