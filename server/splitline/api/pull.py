"""GET /api/v1/pull: the changes since a cursor, in the order they were committed."""

from litestar import Response

from splitline.api import caching, compression, reading
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.api.shapes import Pulled, PullQuery
from splitline.errors import Problem
from splitline.store import pull_page
from splitline.store.pull_page import Asked
from splitline.store.sequence import Head

MOST_DIGITS = 18
"""Largest number that the database can hold."""


@reads("/api/v1/pull", query=PullQuery)
async def pull(request: HttpRequest, services: InjectedServices) -> Response[Pulled]:
    """Return a page of the changes since a cursor."""
    query = reading.query(request, PullQuery)
    regions = tuple(sorted(set(query.region.split(",")))) if query.region else ()
    cursor = _Cursor(query.cursor)
    asked = Asked(cursor.number, regions, query.limit)
    if caching.asks(request):
        head = (await pull_page.outline(services.store, asked)).head
        cursor.compare(head)
        tag = caching.tag_of(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
    page = await services.pages.page(asked, compression.wanted(request.headers.get("accept-encoding", "")))
    cursor.compare(page.outline.head)
    return caching.packed(page.body, caching.tag_of(page.outline.head), page.encoding)


class _Cursor:
    """The cursor a device sends to get the changes since; none means from the beginning."""

    def __init__(self, text: str) -> None:
        """Raises `RequestRefused` 410 if no database could have issued it."""
        self._text = text
        self._epoch, _, number = text.partition(".")
        if text and not (number.isascii() and number.isdecimal() and len(number) <= MOST_DIGITS):
            raise self._expired()
        self.number = int(number or 0)

    def compare(self, head: Head) -> None:
        """Raise `RequestRefused` 410 if this database did not issue it."""
        if self._text and (self._epoch != head.epoch or self.number > head.value):
            raise self._expired()

    def _expired(self) -> RequestRefused:
        return RequestRefused(410, [Problem("cursor_expired", "cursor", self._text)])
