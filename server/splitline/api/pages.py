"""Pages of changes as they are sent. Many phones ask for the same ones, so the last ones stay in memory, packed too.

A kept page is given out only while the database says, at every request anew, that the page has the same changes (see
`store.texts.Outline`). So it does not matter who writes, nor in which process, nor when: nothing has to be told.
"""

import asyncio
from collections import OrderedDict

from msgspec import Struct, json

from splitline.api.compression import SMALLEST, Encoding, packed
from splitline.store import texts
from splitline.store.engine import Store
from splitline.store.texts import Asked, Key, Outline

MOST_BYTES = 32 * 2**20
"""Of all kept pages: about 600 full ones as phones take them."""
LEAST_BYTES = 16 * 2**10
"""Of a page before it is packed: a smaller one is made as quickly as it is looked up."""


class Page(Struct, frozen=True):
    """A page as it is sent, and how it is packed."""

    outline: Outline
    body: bytes
    encoding: Encoding | None


class Pages:
    """The pages that one server process gives out."""

    def __init__(self, store: Store, most: int = MOST_BYTES, least: int = LEAST_BYTES) -> None:
        """most: bytes that are kept. least: of a page that is worth keeping, before it is packed."""
        self._store = store
        self._most, self._least = most, least
        self._bytes = 0
        self._kept: OrderedDict[tuple[Asked, Encoding | None], tuple[Key, bytes]] = OrderedDict()

    async def page(self, asked: Asked, encoding: Encoding | None) -> Page:
        """Return a page as it is at this moment, packed as asked for, or not at all where it is small."""
        wanted = (asked, encoding)
        key, kept = self._kept.get(wanted, (None, b""))
        outline, text = await texts.page(self._store, asked, key)
        if text is None:
            self._use(wanted)
            return Page(outline, kept, encoding)
        whole = _joined(outline, text)
        if len(whole) < SMALLEST:
            return Page(outline, whole, None)
        body = await asyncio.to_thread(packed, whole, encoding) if encoding else whole
        if len(whole) >= self._least:
            self._keep(wanted, outline.key, body)
        return Page(outline, body, encoding)

    def _use(self, wanted: tuple[Asked, Encoding | None]) -> None:
        """Note that a page was asked for, unless it has gone meanwhile."""
        if wanted in self._kept:
            self._kept.move_to_end(wanted)

    def _keep(self, wanted: tuple[Asked, Encoding | None], key: Key, body: bytes) -> None:
        """Keep a page in place of an older one; what was not asked for the longest goes."""
        if wanted in self._kept:
            self._bytes -= len(self._kept.pop(wanted)[1])
        self._kept[wanted] = (key, body)
        self._bytes += len(body)
        while self._bytes > self._most:
            self._bytes -= len(self._kept.popitem(last=False)[1][1])


def _joined(outline: Outline, text: bytes) -> bytes:
    """A page as `Pulled`, of changes that are JSON already."""
    rest = json.encode({"cursor": f"{outline.head.epoch}.{outline.upto}", "more": outline.more})
    return b"".join((b'{"changes":[', text, b"],", rest[1:]))
