"""How many tests of whom count, by region and by a region's month."""

from collections.abc import Iterable, Mapping

from sqlalchemy import Table, bindparam, delete, select

from splitline.store.driver import Connection, fetch, put, tell
from splitline.store.lists import among
from splitline.store.schema import region_contributors, region_month_contributors

Key = tuple[str, ...]
"""Region and contributor, or region, month and contributor."""

KNOWN = {
    table: select(*table.primary_key, table.c.tests).where(*(among(key, key.name) for key in table.primary_key))
    for table in (region_contributors, region_month_contributors)
}


async def in_months(connection: Connection, keys: Iterable[Key]) -> dict[Key, int]:
    """Return how many tests count by region, month and contributor; what is not named is none."""
    return await _known(connection, region_month_contributors, keys)


async def in_regions(connection: Connection, keys: Iterable[Key]) -> dict[Key, int]:
    """Return how many tests count by region and contributor; what is not named is none."""
    return await _known(connection, region_contributors, keys)


async def of_month(connection: Connection, region: str, month: str) -> list[Key]:
    """Return the keys of everybody who is counted in a region's month."""
    table = region_month_contributors
    statement = select(*table.primary_key).where(table.c.region == region, table.c.month == month)
    return [tuple(row) for row in await fetch(connection, statement)]


async def put_in_months(connection: Connection, counts: Mapping[Key, int]) -> None:
    """Write how many tests count by region, month and contributor."""
    await _put(connection, region_month_contributors, counts)


async def put_in_regions(connection: Connection, counts: Mapping[Key, int]) -> None:
    """Write how many tests count by region and contributor."""
    await _put(connection, region_contributors, counts)


async def _known(connection: Connection, table: Table, keys: Iterable[Key]) -> dict[Key, int]:
    """One key column at a time: a list of pairs or triples is not looked up by all of its columns on SQLite."""
    wanted = set(keys)
    names = table.primary_key.columns.keys()
    lists = {name: {key[place] for key in wanted} for place, name in enumerate(names)}
    found = {tuple(key): tests for *key, tests in await fetch(connection, KNOWN[table], **lists)}
    return {key: tests for key, tests in found.items() if key in wanted}


async def _put(connection: Connection, table: Table, counts: Mapping[Key, int]) -> None:
    names = [column.name for column in table.primary_key]
    same = [table.c[name] == bindparam(name) for name in names]
    gone = delete(table).where(*same)
    for key in (key for key, tests in counts.items() if tests == 0):
        await tell(connection, gone, **dict(zip(names, key, strict=True)))
    await put(connection, table, [(*key, tests) for key, tests in counts.items() if tests])
