"""Counts the steps of SQLite's virtual machine, which are the same on every machine."""

from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from pathlib import Path

from helpers.examples import Json, person
from helpers.examples import texts as said
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store
from splitline.store.migrate import migrate

NOW = datetime(2026, 10, 1, 12, 0, tzinfo=UTC)


class Counted:
    """A store that counts the steps of its queries."""

    def __init__(self, folder: Path, people: int) -> None:
        self.store = Store(f"sqlite+aiosqlite:///{folder / f'{people}.sqlite3'}")
        self.intake = Intake(self.store, regions(), Photos(str(folder / "photos"), self.store))
        self.people, self.steps = people, 0

    async def begin(self) -> None:
        """Create the tables and open the two connections that are reused, to read and to write."""
        await migrate(self.store)
        for begun in (self.store.read, self.store.exclusive):
            async with begun() as connection:
                await connection.driver.set_progress_handler(self._step, 1)

    async def push(self, who: int, *records: Json) -> None:
        answers = await self.intake.receive(person(who), said(*records), NOW)
        assert {answer.status for answer in answers} <= {"stored", "replaced", "held"}, answers

    async def cost(self, act: Callable[["Counted"], Awaitable[object]]) -> int:
        self.steps = 0
        await act(self)
        return self.steps

    def _step(self) -> int:
        self.steps += 1
        return 0
