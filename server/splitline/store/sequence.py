"""The one counter: every change takes a number, and numbers are committed in order.

So a reader who has seen a number has seen every number below it. A cursor carries the epoch as well. A restore changes
the epoch, and phones that come with the old one (410) pull everything again and resend all they ever sent; that brings
back what was shared after the backup.
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
    """How far the sequence is. epoch: names the database. invented: it was filled with the demo.

    figures: how often figures were written; figures_at: when for the last time.
    """

    epoch: str
    value: int
    invented: bool
    figures: int
    figures_at: datetime | None


async def head(connection: Connection) -> Head:
    """Return the last committed number: everything at or below it can be read by whoever asks afterwards."""
    [row] = await fetch(connection, NOW)
    return Head(*row)


async def take(connection: Connection, count: int) -> int:
    """Take `count` numbers in a writer's turn and return the first of them."""
    [(last,)] = await fetch(connection, TAKE, count=count)
    return int(last) - count + 1


async def touch(connection: Connection) -> None:
    """Write, in a writer's turn, what is there already: SQLite leaves alone what is not even changed for a moment."""
    for count in (1, -1):
        await fetch(connection, TAKE, count=count)


async def count_figures(connection: Connection, now: datetime) -> int:
    """Note, in a writer's turn, that figures were written; return how often they have been."""
    [(count,)] = await fetch(connection, COUNT_FIGURES, now=now)
    return int(count)


async def model(connection: Connection) -> int:
    """Return the version of the tube model that every test here has been computed with, where it can be."""
    [(version,)] = await fetch(connection, MODEL)
    return int(version)


async def set_model(connection: Connection, version: int) -> None:
    """Say that every test here has been computed with a version of the tube model."""
    await execute(connection, SET_MODEL, version=version)


async def mark_invented(connection: Connection) -> None:
    """Say that this database holds invented data."""
    await execute(connection, INVENT)


async def begin_epoch(connection: Connection) -> None:
    """Give the database a new name, so that whoever follows it starts again from nothing."""
    await execute(connection, RENAME, name=token_hex(8))
