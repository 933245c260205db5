"""The honest region on a server, saved on the day of the attacks, and runs that continue from there."""

import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from heapq import merge
from operator import attrgetter
from pathlib import Path

from helpers.command import splitline
from study_trust.records import Sending
from study_trust.site import Site, Standing, running
from study_trust.world import DAYS, START, World, moment_of

Standings = dict[str, Standing]

BACKED_UP = 250
"""The day on which the operator made a backup."""
MINIMA = (70.0, 80.0)


class Bench:
    """A world with its server. honest: all figures without attacks, by day and by minimum."""

    def __init__(self, world: World, folder: Path) -> None:
        self.world = world
        self._folder = folder
        self._runs = 0
        self.honest: dict[tuple[float, float], Standings] = {}
        self.backup = folder / "backup.zip"

    def build(self) -> None:
        """Run the honest region until the day of the attacks; save that state and an earlier backup."""
        kept = self._folder / "honest"
        with running(kept, START) as site:
            send(site, self.world.between(-1, BACKED_UP), BACKED_UP)
            site.settled()
            made = splitline("backup", str(self.backup), "--data", str(kept))
            assert made.returncode == 0, made.stderr
            send(site, self.world.between(BACKED_UP, DAYS), DAYS)
            self._note(site, DAYS)

    def go_on(self, days: Iterable[float]) -> None:
        """Record all figures on later days, counted from the start, without attacks."""
        with self.copy() as site:
            last: float = DAYS
            for day in days:
                send(site, self.world.between(last, day), day)
                self._note(site, day)
                last = day

    @contextmanager
    def copy(self) -> Iterator[Site]:
        """Serve a copy of the saved state, on the day of the attacks."""
        self._runs += 1
        data = self._folder / f"run {self._runs}"
        shutil.copytree(self._folder / "honest", data)
        with running(data, moment_of(DAYS)) as site:
            yield site
        shutil.rmtree(data)

    @contextmanager
    def restored(self) -> Iterator[Site]:
        """Serve the restored backup, on the day of the attacks."""
        data = self._folder / "restored"
        back = splitline("restore", str(self.backup), "--data", str(data))
        assert back.returncode == 0, back.stderr
        with running(data, moment_of(DAYS)) as site:
            yield site
        shutil.rmtree(data)

    def attacked(self, site: Site, sendings: Iterable[Sending], until: float, since: float = DAYS) -> None:
        """Let attackers and honest people send together, from the day of the attacks to a later day."""
        both = merge(self.world.between(since, until), sorted(sendings, key=attrgetter("at")), key=attrgetter("at"))
        send(site, both, until)

    def _note(self, site: Site, day: float) -> None:
        for minimum in MINIMA:
            self.honest[day, minimum] = site.standings(minimum)


def send(site: Site, sendings: Iterable[Sending], until: float) -> None:
    """Push everything at its time, then move the clock to the end of a day, counted from the start."""
    for sending in sendings:
        site.at(sending.at)
        site.push(sending.secret, sending.records)
    site.at(moment_of(until))
