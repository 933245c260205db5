"""Random histories: people who add, correct, move and withdraw, and a moderator who withholds, releases and merges."""

from contextlib import suppress
from datetime import UTC, datetime
from random import Random
from typing import Any

from helpers.examples import (
    IN_FR_15,
    IN_FR_63,
    Json,
    identifier,
    person,
    reading,
    retraction,
    source,
    texts,
)
from splitline.errors import Unusable
from splitline.intake.intake import Intake
from splitline.moderation import contributors, source_changes
from splitline.moderation.decisions import Moderator, merge, release, unmerge, withhold

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
BY = Moderator("Ada", NOW)
PEOPLE, SOURCES, TESTS = 3, 6, 30
ACTS = {"merge", "unmerge", "withhold", "release", "confirm", "refuse", "withhold all", "release all"}


class History:
    """One step after another; `done` counts what happened."""

    def __init__(self, intake: Intake, seed: int) -> None:
        self._intake, self.random = intake, Random(seed)
        self._revisions: dict[str, int] = {}
        self._merged: list[str] = []
        self._out: list[str] = []
        self.moderates = True
        self.done: dict[str, int] = {}

    async def step(self) -> None:
        who = self.random.randrange(PEOPLE)
        if not self.moderates or self.random.random() < 0.7:
            batch = [self._record(who) for _ in range(self.random.randint(1, 8))]
            for answer in await self._intake.receive(person(who), texts(*batch), NOW):
                self._count(answer.status)
        else:
            await self._moderate()

    async def let_all_back(self) -> None:
        """Release all withheld contributors."""
        for who in range(PEOPLE):
            with suppress(Unusable):
                await contributors.release(self._intake.store, person(who).id, BY)

    async def _moderate(self) -> None:
        """Do a random allowed decision; undoing picks an earlier one."""
        random, store = self.random, self._intake.store
        place, other = (identifier(1 + number) for number in random.sample(range(SOURCES), 2))
        chosen = random.choice((place, reading(random.randrange(TESTS), at=1)["id"]))
        acts: dict[str, Any] = {
            "merge": lambda: merge(store, place, other, BY),
            "unmerge": lambda: unmerge(store, random.choice(self._merged or [place]), BY),
            "withhold": lambda: withhold(store, chosen, BY),
            "release": lambda: release(store, random.choice(self._out or [place]), BY),
            "confirm": lambda: source_changes.confirm(store, place, BY),
            "refuse": lambda: source_changes.refuse(store, place, BY),
            "withhold all": lambda: contributors.withhold(store, person(random.randrange(PEOPLE)).id, BY),
            "release all": lambda: contributors.release(store, person(random.randrange(PEOPLE)).id, BY),
        }
        for name in random.sample(list(acts), len(acts)):
            with suppress(Unusable):
                await acts[name]()
                self._merged += [place] if name == "merge" else []
                self._out += [chosen] if name == "withhold" else []
                self._count(name)
                return

    def _record(self, who: int) -> Json:
        random = self.random
        if random.random() < 0.2:
            # A source belongs to its recorder; only they can move it across the border or withdraw it.
            number = random.randrange(SOURCES // PEOPLE) * PEOPLE + who
            record = source(1 + number, random.choice((IN_FR_15, IN_FR_63)))
        else:
            number = random.randrange(TESTS // PEOPLE) * PEOPLE + who
            record = reading(number, at=1 + random.randrange(SOURCES), sampled=random.choice(("pump", "pump", "can")))
            moment = f"2026-0{random.choice((1, 2))}-{random.choice((1, 9, 28)):02d}T08:{random.randrange(60):02d}:00Z"
            record |= {"sampled_at": moment, "tested_at": moment}
            record["runs"] = [{"water": 50.0, "fuel": 50.0, "line": round(random.uniform(86, 91), 1)}]
        revision = self._revisions[record["id"]] = self._revisions.get(record["id"], 0) + 1
        record["revision"] = revision
        return retraction(record, revision) if random.random() < 0.06 else record

    def _count(self, what: str) -> None:
        self.done[what] = self.done.get(what, 0) + 1
