"""Recomputes stored tests once, after a new version of the tube model.

The previous model's figure is stored beside the new one, and dependent figures go stale as after any change. A test
outside the new model's range (brine at 85 %, more fuel than water) keeps its figure and that figure's model version.
"""

from collections.abc import Callable
from datetime import datetime

from msgspec import json
from msgspec.structs import replace

from splitline.checking import physics
from splitline.chemistry.budget import MODEL, Figures
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.feed import Former
from splitline.intake.reevaluate import restate
from splitline.intake.working_set import record_of
from splitline.records import Test
from splitline.store import sequence, tests
from splitline.store.engine import Store
from splitline.store.rows import TestRow

# Tests per transaction: few enough that other writers do not wait for long.
PAGE = 500


async def remeasure(store: Store, now: Callable[[], datetime], exchange: Exchange = BUILT_IN) -> int:
    """Recompute figures from earlier models; return how many changed. Raises `StoreUnavailable`.

    exchange: the table that contents are computed with.
    """
    async with store.read() as connection:
        if await sequence.model(connection) >= MODEL:
            return 0
    count, after = 0, ""
    while True:
        async with store.write() as connection:
            rows = await tests.of_earlier_model(connection, MODEL, after, PAGE)
            if not rows:
                await sequence.set_model(connection, MODEL)
                return count
            changed = _computed(rows, exchange)
            await restate(connection, changed, now())
        count, after = count + len(changed), rows[-1].id


def _computed(rows: list[TestRow], exchange: Exchange) -> list[TestRow]:
    """The rows with new figures, without those the model cannot be applied to."""
    records = [record_of(row) for row in rows]
    found = physics.figures([record for record in records if isinstance(record, Test)], exchange)
    return [_with(row, one) for row, one in zip(rows, found, strict=True) if isinstance(one, Figures)]


def _with(row: TestRow, figures: Figures) -> TestRow:
    former = Former(
        model=row.model or 1, content=row.content or 0.0, expanded_uncertainty=row.expanded_uncertainty or 0.0
    )
    return replace(row, **figures._asdict(), model=MODEL, former=json.encode(former).decode())
