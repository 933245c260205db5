"""Pages of changes as they are sent. Many phones ask for the same ones, so the last ones stay in memory, packed too.

A kept page is given out only while the database says, at every request anew, that the page has the same changes (see
`store.texts.Outline`). So it does not matter who writes, nor in which process, nor when: nothing has to be told.
"""

import asyncio
from collections import OrderedDict
from dataclasses import replace

from msgspec import json

from splitline.api.compression import SMALLEST, Encoding, packed
from splitline.change import change_of
from splitline.store import changes, texts
from splitline.store.engine import Store
from splitline.store.texts import Asked, Outline

MOST_BYTES = 32 * 2**20
"""Of all kept pages: about 600 full ones as phones take them."""
LEAST_BYTES = 16 * 2**10
"""Of a page before it is packed: a smaller one is made as quickly as it is looked up."""

Key = tuple[str, int, int | None]


class Pages:
    """The pages that one server process gives out."""

    def __init__(self, store: Store, most: int = MOST_BYTES, least: int = LEAST_BYTES) -> None:
        """most: bytes that are kept. least: of a page that is worth keeping, before it is packed."""
        self._store = store
        self._most, self._least = most, least
        self._bytes = 0
        self._kept: OrderedDict[tuple[Asked, Encoding | None], tuple[Key, bytes]] = OrderedDict()

    async def body(self, page: Outline, encoding: Encoding | None) -> tuple[bytes, Encoding | None]:
        """Return a page and how it is packed: as asked for, or not at all where it is small."""
        wanted = (page.asked, encoding)
        key, body = self._kept.get(wanted, (None, b""))
        if key == page.key:
            self._kept.move_to_end(wanted)
            return body, encoding
        whole = await self._made(page)
        if len(whole) < SMALLEST:
            return whole, None
        body = await asyncio.to_thread(packed, whole, encoding) if encoding else whole
        if len(whole) >= self._least:
            self._keep(wanted, page.key, body)
        return body, encoding

    async def _made(self, page: Outline) -> bytes:
        """The page as `Pulled`, of changes that are JSON already."""
        text = await texts.text(self._store, page)
        if text is None:
            text = await self._encoded(page)
        rest = json.encode({"cursor": f"{page.head.epoch}.{page.upto}", "more": page.more})
        return b"".join((b'{"changes":[', text, b"],", rest[1:]))

    async def _encoded(self, page: Outline) -> bytes:
        """Encode the changes anew: an earlier version kept no texts."""
        head, asked = replace(page.head, value=page.upto), page.asked
        async with self._store.read() as connection:
            rows = (await changes.page(connection, head, asked.after, asked.regions, asked.limit)).rows
        return b",".join(json.encode(change_of(row)) for row in rows)

    def _keep(self, wanted: tuple[Asked, Encoding | None], key: Key, body: bytes) -> None:
        """Keep a page in place of an older one; what was not asked for the longest goes."""
        if wanted in self._kept:
            self._bytes -= len(self._kept.pop(wanted)[1])
        self._kept[wanted] = (key, body)
        self._bytes += len(body)
        while self._bytes > self._most:
            self._bytes -= len(self._kept.popitem(last=False)[1][1])
