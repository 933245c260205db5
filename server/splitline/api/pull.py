"""GET /api/v1/pull: what changed since a cursor, in the order of its commits."""

from typing import Any

from litestar import Response
from msgspec import json

from splitline.api import caching, reading
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import PullQuery
from splitline.change import as_text, change_of
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
        page = await changes.texts(connection, head, after, regions, query.limit)
        whole = [as_text(row.envelope, row.record) for row in page.rows if row.envelope]
        if len(whole) < len(page.rows):
            # An earlier version kept no texts.
            rows = (await changes.page(connection, head, after, regions, query.limit)).rows
            whole = [json.encode(change_of(row)).decode() for row in rows]
    # As `Pulled`, of changes that are JSON already.
    rest = json.encode({"cursor": f"{head.epoch}.{page.upto}", "more": page.more}).decode()
    body = f'{{"changes":[{",".join(whole)}],{rest[1:]}'.encode()
    return caching.tagged(body, caching.tag_of(head))


def _after(cursor: str, head: Head) -> int:
    """The number a cursor stands for. Raises `RequestRefused` 410 when it is not one of this database."""
    if not cursor:
        return 0
    epoch, _, number = cursor.partition(".")
    known = epoch == head.epoch and number.isascii() and number.isdecimal()
    if not known or int(number) > head.value:
        raise RequestRefused(410, [Problem("cursor_expired", "cursor", cursor)])
    return int(number)
