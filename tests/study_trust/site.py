"""The server under attack, seen over HTTP: pushes, pulls, figures, and a clock that can be set.

Pushes are answered at the clock's time; reads wait until the figures are up to date.
"""

import os
import subprocess
import time
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import httpx

from helpers.fork_server import fork

Json = dict[str, Any]

NEAR = "45.75,3.05"
PATIENCE = 120.0
"""Seconds within which figures must be up to date, even on a busy machine."""
MOST = 400
"""Records in one push."""


@dataclass(frozen=True)
class Standing:
    """The server's figures of a source. Contents in % (V/V); ranks from 1, or 0 if not listed."""

    name: str
    region: str
    place: tuple[float, float]
    tests: int
    by_tau: int
    by_floor: int
    figures: Json | None

    @property
    def evidence(self) -> int:
        """Marks of evidence, 0..3."""
        return int(self.figures["evidence"]) if self.figures else 0

    @property
    def half_width(self) -> float:
        """The half-width of the typical content's interval, points."""
        assert self.figures
        low, high = self.figures["typical_interval"]
        return float(high - low) / 2


@dataclass
class Site:
    """A running server. answered: statuses of the records sent since its start, by secret."""

    client: httpx.Client
    clock: Path
    answered: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    _cursor: str = ""
    _head: int = 0

    def at(self, moment: datetime) -> None:
        """Move the server's clock."""
        os.utime(self.clock, (moment.timestamp(), moment.timestamp()))

    def push(self, secret: str, records: Sequence[Json]) -> list[Json]:
        """Push one person's records; return the answers. Checks that the server's time is the one it was given."""
        answers: list[Json] = []
        for first in range(0, len(records), MOST):
            body = {"records": list(records[first : first + MOST])}
            response = self.client.post("/api/v1/push", json=body, headers={"Authorization": f"Bearer {secret}"})
            assert response.status_code == 200, response.text
            said = datetime.fromisoformat(response.json()["received_at"]).timestamp()
            assert abs(said - self.clock.stat().st_mtime) < 1, "the server does not use the given clock"
            answers += response.json()["answers"]
        self.answered[secret].update(answer["status"] for answer in answers)
        return answers

    def get(self, path: str, **query: str | float) -> Json:
        """GET a path and return the decoded answer."""
        response = self.client.get(path, params=query)
        assert response.status_code == 200, response.text
        return dict(response.json())

    def pulled(self) -> list[Json]:
        """Return the changes since the last call."""
        changes, more = [], True
        while more:
            page = self.get("/api/v1/pull", **({"cursor": self._cursor} if self._cursor else {}))
            changes += page["changes"]
            self._cursor, more = page["cursor"], page["more"]
        self._head = max([self._head, *(change["sequence"] for change in changes)])
        return changes

    def settled(self) -> list[Json]:
        """Wait until the figures include the last change; return the changes since the last call."""
        changes, until = self.pulled(), time.monotonic() + PATIENCE
        while ((self.get("/api/v1/sources", near=NEAR)["figures_upto"] or {}).get("sequence", 0)) < self._head:
            assert time.monotonic() < until, "the figures are still stale"
            time.sleep(0.02)
            changes += self.pulled()
        return changes

    def standings(self, minimum: float = 70.0) -> dict[str, Standing]:
        """Return all sources by id once the figures are up to date. minimum: for the probability of the next fill."""
        self.settled()
        lists = {o: self.get("/api/v1/sources", near=NEAR, order=o, minimum=minimum) for o in ("steadiest", "floor")}
        ranks = {o: {s["id"]: n for n, s in enumerate(found["sources"], 1)} for o, found in lists.items()}
        shown = {s["id"]: s for part in ("sources", "unsampled") for s in lists["steadiest"][part]}
        return {id_: self._standing(one, ranks) for id_, one in shown.items()}

    def source(self, id_: str) -> Json:
        """Return a source's page."""
        self.settled()
        return self.get(f"/api/v1/sources/{id_}")

    def _standing(self, one: Json, ranks: dict[str, dict[str, int]]) -> Standing:
        figures = one["figures"]
        return Standing(
            name=one["name"],
            region=one["region"],
            place=(one["latitude"], one["longitude"]),
            tests=figures["tests"] if figures else 0,
            by_tau=ranks["steadiest"].get(one["id"], 0),
            by_floor=ranks["floor"].get(one["id"], 0),
            figures=figures,
        )


@contextmanager
def running(data: Path, moment: datetime) -> Iterator[Site]:
    """Serve a folder at a given time until the end of the block."""
    data.mkdir(parents=True, exist_ok=True)
    clock = data / "clock"
    clock.touch()
    os.utime(clock, (moment.timestamp(), moment.timestamp()))
    command = [str(Path(__file__).parent / "clocked.py"), str(data), str(clock)]
    with (data / "errors.txt").open("w") as errors:
        process = fork(command, os.environ, subprocess.PIPE, errors.fileno())
    try:
        assert process.stdout
        line = process.stdout.readline()
        assert line.startswith("Splitline is listening on "), (data / "errors.txt").read_text()
        with httpx.Client(base_url=line.split()[-1], timeout=60, verify=False) as client:
            yield Site(client, clock)
    finally:
        process.terminate()
        process.wait(60)
