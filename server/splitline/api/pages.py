"""A cache of pages of changes as they are sent, compressed too, because many phones ask for the same ones.

A cached page is served only if the database confirms, at every request, that the page has the same changes (see
`store.texts.Outline`). So nothing has to be invalidated, whichever process writes and when.
"""

import asyncio
from collections import OrderedDict

from msgspec import Struct, json

from splitline.api.compression import SMALLEST, Encoding, packed
from splitline.store import pull_page
from splitline.store.engine import Store
from splitline.store.pull_page import Asked, Key, Outline

MOST_BYTES = 32 * 2**20
"""Total bytes of all cached pages: about 600 full ones as phones accept them."""
LEAST_BYTES = 16 * 2**10
"""Bytes of a page before compression; making a smaller one is as quick as looking it up."""


class Page(Struct, frozen=True):
    """A page as it is sent, and its encoding."""

    outline: Outline
    body: bytes
    encoding: Encoding | None


class Pages:
    """The page cache of one server process."""

    def __init__(self, store: Store, most: int = MOST_BYTES, least: int = LEAST_BYTES) -> None:
        """most: bytes in the cache. least: bytes of a page worth caching, before compression."""
        self._store = store
        self._most, self._least = most, least
        self._bytes = 0
        self._kept: OrderedDict[tuple[Asked, Encoding | None], tuple[Key, bytes]] = OrderedDict()

    async def page(self, asked: Asked, encoding: Encoding | None) -> Page:
        """Return the current page, compressed as the client accepts; None if it is too small to cache."""
        wanted = (asked, encoding)
        key, kept = self._kept.get(wanted, (None, b""))
        outline, text = await pull_page.page(self._store, asked, key)
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
        """Mark a page as recently used, if it is still in the cache."""
        if wanted in self._kept:
            self._kept.move_to_end(wanted)

    def _keep(self, wanted: tuple[Asked, Encoding | None], key: Key, body: bytes) -> None:
        """Cache a page in place of an older version; the least recently used pages are dropped."""
        if wanted in self._kept:
            self._bytes -= len(self._kept.pop(wanted)[1])
        self._kept[wanted] = (key, body)
        self._bytes += len(body)
        while self._bytes > self._most:
            self._bytes -= len(self._kept.popitem(last=False)[1][1])


def _joined(outline: Outline, text: bytes) -> bytes:
    """A page in the form of `Pulled`, of changes that are JSON already."""
    rest = json.encode({"cursor": f"{outline.head.epoch}.{outline.upto}", "more": outline.more})
    return b"".join((b'{"changes":[', text, b"],", rest[1:]))
