"""Phones that write at the same time, for tests of what readers see meanwhile."""

from datetime import UTC, datetime

from hypothesis import strategies as st

from helpers.examples import IN_FR_15, IN_FR_63, Json, person, reading, retraction, source, texts
from splitline.intake.intake import Intake

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)

# One writer's work: batches of steps, each on one of its three records.
steps = st.tuples(st.integers(0, 2), st.sampled_from(["put", "put", "put", "move", "retract"]))
batches = st.lists(st.lists(steps, min_size=1, max_size=3), min_size=1, max_size=5)
plans = st.lists(batches, min_size=2, max_size=4)

Plan = list[list[list[tuple[int, str]]]]


class Writer:
    """A phone that sends changes of its source and tests again and again."""

    def __init__(self, number: int, base: int, intake: Intake) -> None:
        self.number = number
        self.committed: dict[str, int] = {}
        """The revisions that the server has acknowledged."""
        self._intake = intake
        self._source = source(base)
        self._tests = [reading(base + n, at=base) for n in range(3)]

    async def run(self, plan: list[list[tuple[int, str]]]) -> None:
        await self.begin()
        for batch in plan:
            await self.act(batch)

    async def begin(self) -> None:
        await self._send([self._source, *self._tests])

    async def act(self, batch: list[tuple[int, str]]) -> None:
        await self._send([self._step(*step) for step in batch])

    def _step(self, which: int, what: str) -> Json:
        if what == "move":
            self._source["revision"] += 1
            where = IN_FR_15 if self._source["revision"] % 2 else IN_FR_63
            self._source.update(latitude=where[0], longitude=where[1])
            return dict(self._source)
        test = self._tests[which]
        test["revision"] += 1
        return retraction(test, test["revision"]) if what == "retract" else {**test, "note": f"{test['revision']}"}

    async def _send(self, records: list[Json]) -> None:
        answers = await self._intake.receive(person(self.number), texts(*records), NOW)
        pairs = zip(records, answers, strict=True)
        taken = {
            record["id"]: record["revision"] for record, answer in pairs if answer.status in ("stored", "replaced")
        }
        self.committed |= taken
