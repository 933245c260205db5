"""GET /api/v1/pull: what changed since a cursor, in the order of its commits."""

from typing import Any

from litestar import Response
from msgspec import json

from splitline.api import caching, reading
from splitline.api.changes import change_of
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import Pulled, PullQuery
from splitline.errors import Problem
from splitline.store import changes, sequence
from splitline.store.sequence import Head


@reads("/api/v1/pull")
async def pull(request: HttpRequest, services: Rooms) -> Response[Any]:
    """Give out a page of changes."""
    query = reading.query(request, PullQuery)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        after = _after(query.cursor, head)
        if caching.unchanged(request, caching.tag_of(head)):
            return caching.not_modified(caching.tag_of(head))
        regions = query.region.split(",") if query.region else ()
        page = await changes.page(connection, head, after, regions, query.limit)
    pulled = Pulled(
        changes=tuple(change_of(row) for row in page.rows),
        cursor=f"{head.epoch}.{page.upto}",
        more=page.more,
    )
    return caching.tagged(json.encode(pulled), caching.tag_of(head))


def _after(cursor: str, head: Head) -> int:
    """The number a cursor stands for. Raises `RequestRefused` 410 when it is not one of this database."""
    if not cursor:
        return 0
    epoch, _, number = cursor.partition(".")
    known = epoch == head.epoch and number.isascii() and number.isdecimal()
    if not known or int(number) > head.value:
        raise RequestRefused(410, [Problem("cursor_expired", "cursor", cursor)])
    return int(number)
