"""Where the data of a server lies, for the commands that work on it, also while it serves."""

import argparse
import asyncio
import os
from collections.abc import Awaitable, Callable
from typing import TypeVar

from splitline.config import Settings, settings
from splitline.errors import Problem, Unusable
from splitline.store.address import missing_file
from splitline.store.engine import Store
from splitline.store.migrate import migrate

T = TypeVar("T")


def where(chosen: argparse.Namespace) -> Settings:
    """Return the settings of the server whose data is meant. Raises `Unusable`."""
    options = {name: value for name, value in vars(chosen).items() if name in ("data", "database", "photos")}
    # How many serve PostgreSQL says nothing about a SQLite file that a command is given.
    return settings({**options, "workers": 1}, os.environ)


def on_store(chosen: argparse.Namespace, work: Callable[[Store], Awaitable[T]], as_it_is: bool = False) -> T:
    """Do some work on a database that is there. Raises `Unusable` when it is not, and what the work raises.

    as_it_is: leave the tables in the version they have.
    """
    what = where(chosen)
    missing = missing_file(what.database)
    if missing is not None:
        raise Unusable([Problem("database_missing", "database", missing)])
    return in_store(what, work, as_it_is)


def in_store(what: Settings, work: Callable[[Store], Awaitable[T]], as_it_is: bool = False) -> T:
    """Do some work on a database, which is made where there is none yet. Raises what the work raises.

    as_it_is: leave the tables in the version they have.
    """

    async def run() -> T:
        store = Store(what.database)
        try:
            if not as_it_is:
                await migrate(store)
            return await work(store)
        finally:
            await store.close()

    return asyncio.run(run())
