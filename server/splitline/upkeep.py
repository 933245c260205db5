"""What is due now and then while serving: large regions are learned from, and all figures follow the season."""

import asyncio
from datetime import datetime, timedelta

from splitline import summaries
from splitline.learning import GROWTH
from splitline.store import lessons, sequence
from splitline.store.engine import Store

EVERY = 900.0
"""Seconds between two rounds."""
OLD = timedelta(days=7)
"""Figures are for a day; after this time they are computed for a new one."""


async def keep_up(store: Store, now: datetime) -> list[str]:
    """Learn from the regions that are due, each in a transaction of its own; return them."""
    async with store.read() as connection:
        due = await lessons.due(connection, GROWTH, now - OLD)
    for region in due:
        async with store.write() as connection:
            await summaries.renew(connection, region, now)
            # A number without a change: answers that were given under the old figures are out of date.
            await sequence.take(connection, 1)
        await asyncio.sleep(0)
    return due
