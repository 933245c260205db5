"""The sequence: every change takes a number, and numbers are committed in order.

So a reader who has seen a number has seen all lower ones. A cursor also carries the epoch. A restore changes the epoch;
phones with the old one get 410, pull everything again and resend all they ever sent, which brings back what was shared
after the backup.
"""

from dataclasses import dataclass
from datetime import datetime
from secrets import token_hex

from sqlalchemy import bindparam, select, update

from splitline.store.driver import Connection, execute, fetch
from splitline.store.schema import sequence

HEAD = (sequence.c.epoch, sequence.c.value, sequence.c.invented, sequence.c.figures, sequence.c.figures_at)
COUNT_FIGURES = (
    update(sequence).values(figures=sequence.c.figures + 1, figures_at=bindparam("now")).returning(sequence.c.figures)
)
NOW = select(*HEAD)
TAKE = update(sequence).values(value=sequence.c.value + bindparam("count")).returning(sequence.c.value)
INVENT = update(sequence).values(invented=True)
MODEL = select(sequence.c.model)
SET_MODEL = update(sequence).values(model=bindparam("version"))
RENAME = update(sequence).values(epoch=bindparam("name"))


@dataclass(frozen=True, slots=True)
class Head:
    """The state of the sequence. epoch: identifies the database. invented: it was filled with the demo.

    figures: how often figures were written; figures_at: when last.
    """

    epoch: str
    value: int
    invented: bool
    figures: int
    figures_at: datetime | None


async def head(connection: Connection) -> Head:
    """Return the state up to the last committed number; later reads see everything at or below it."""
    [row] = await fetch(connection, NOW)
    return Head(*row)


async def take(connection: Connection, count: int) -> int:
    """Take `count` numbers in a write transaction and return the first."""
    [(last,)] = await fetch(connection, TAKE, count=count)
    return int(last) - count + 1


async def touch(connection: Connection) -> None:
    """Change the value and change it back, in a write transaction: SQLite skips an update to the same value."""
    for count in (1, -1):
        await fetch(connection, TAKE, count=count)


async def count_figures(connection: Connection, now: datetime) -> int:
    """Count a write of figures, in a write transaction; return the new count."""
    [(count,)] = await fetch(connection, COUNT_FIGURES, now=now)
    return int(count)


async def model(connection: Connection) -> int:
    """Return the version of the tube model with which all tests it can be applied to have been computed."""
    [(version,)] = await fetch(connection, MODEL)
    return int(version)


async def set_model(connection: Connection, version: int) -> None:
    """Set the version of the tube model that all tests have been computed with."""
    await execute(connection, SET_MODEL, version=version)


async def mark_invented(connection: Connection) -> None:
    """Mark this database as holding invented data."""
    await execute(connection, INVENT)


async def begin_epoch(connection: Connection) -> None:
    """Set a new epoch, so that phones pull everything again."""
    await execute(connection, RENAME, name=token_hex(8))
