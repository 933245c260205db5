"""Changes in the order in which they were committed: what a phone pulls."""

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store import sequence, sources, tests
from splitline.store.rows import Row


@dataclass(frozen=True, slots=True)
class Page:
    """Some changes in order. upto: everything up to this number is in this page or was before it."""

    rows: tuple[Row, ...]
    upto: int
    more: bool


async def page(
    connection: AsyncConnection, head: sequence.Head, after: int, regions: Collection[str], limit: int
) -> Page:
    """Return up to `limit` changes after a number, of some regions or of all.

    head: read before, on this connection. All numbers up to it are committed; a row that is changed meanwhile has
    moved beyond it, and comes with a later page. So nothing is skipped, though the two tables are read in turn.
    """
    found: list[Row] = [
        *await sources.since(connection, after, head.value, regions, limit + 1),
        *await tests.since(connection, after, head.value, regions, limit + 1),
    ]
    ordered = sorted(found, key=lambda row: row.sequence)
    if len(ordered) <= limit:
        return Page(tuple(ordered), head.value, more=False)
    return Page(tuple(ordered[:limit]), ordered[limit - 1].sequence, more=True)
