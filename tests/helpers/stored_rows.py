"""Reads back what a database contains: as phones pull it, or row by row."""

from msgspec import json

from helpers.examples import Json
from splitline.store import pull_page, sources, tests
from splitline.store.engine import Store
from splitline.store.pull_page import Asked
from splitline.store.rows import Row

ALL = 100_000
"""More than any test stores."""


async def changes(store: Store, asked: Asked) -> list[Json]:
    """A page of changes."""
    _, text = await pull_page.page(store, asked)
    assert text is not None
    return json.decode(b"[" + text + b"]", type=list[Json])


async def rows(store: Store, after: int = 0, *regions: str) -> list[Row]:
    """The rows of all changes after a sequence number, in order; only of these regions, if any are given."""
    ids = [change["id"] for change in await changes(store, Asked(after, regions, ALL))]
    async with store.read() as connection:
        found = {**await sources.by_ids(connection, ids), **await tests.by_ids(connection, ids)}
    return [found[id_] for id_ in ids]
