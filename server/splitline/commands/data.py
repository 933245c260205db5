"""Opens a server's data for the commands that work on it, even while the server runs."""

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
    # SPLITLINE_WORKERS is about PostgreSQL and does not apply to a SQLite file that a command is given.
    return settings({**options, "workers": 1}, os.environ)


def on_store(chosen: argparse.Namespace, work: Callable[[Store], Awaitable[T]], as_it_is: bool = False) -> T:
    """Work on an existing database. Raises `Unusable` if there is none, and what the work raises.

    as_it_is: do not migrate it.
    """
    what = where(chosen)
    missing = missing_file(what.database)
    if missing is not None:
        raise Unusable([Problem("database_missing", "database", missing)])
    return in_store(what, work, as_it_is)


def in_store(what: Settings, work: Callable[[Store], Awaitable[T]], as_it_is: bool = False) -> T:
    """Work on a database, created if there is none. Raises what the work raises.

    as_it_is: do not migrate it.
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
