"""What is due now and then while serving: large regions are learned from, and all figures follow the season."""

import asyncio
from datetime import datetime, timedelta

from splitline import learning, summaries
from splitline.store import lessons, sequence, sources
from splitline.store.engine import Store

EVERY = 900.0
"""Seconds between two rounds."""
OLD = timedelta(days=7)
"""Figures are for a day; after this time they are computed for a new one."""
AT_ONCE = 20
"""Sources whose figures are computed in one transaction: whoever pushes meanwhile waits for no more."""


async def keep_up(store: Store, now: datetime) -> list[str]:
    """Learn from the regions that are due, and compute the figures of their sources again; return them.

    Learning only reads, so that nobody waits for it. The season of a large region does not turn on what arrives
    meanwhile.
    """
    async with store.read() as connection:
        due = await lessons.due(connection, learning.GROWTH, now - OLD)
    for region in due:
        async with store.read() as connection:
            learned = await learning.learned(connection, region, now)
            ids = sorted(await sources.ids_in(connection, [region]))
        async with store.write() as connection:
            await learning.keep(connection, learned)
        for start in range(0, len(ids), AT_ONCE):
            async with store.write() as connection:
                await summaries.renew(connection, ids[start : start + AT_ONCE], now)
                # A number without a change: answers that were given under the old figures are out of date.
                await sequence.take(connection, 1)
            await asyncio.sleep(0)
    return due
