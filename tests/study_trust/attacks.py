"""What dishonest people send: bursts on one day, and patient attacks over weeks.

They know what anybody can know: the season and the stations' public figures. They follow the season, so that
only the level is false, and every secret has its own tube.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from random import Random

from study_trust.records import Json, Person, Sending, person, source, test
from study_trust.world import DAYS, LEADER, PLACE, PLAIN, START, World, moment_of, season

READINGS = 12
"""Tests that each secret of a burst sends."""
RECENT = 90
"""Days: lies dated within so short a time look like a new level."""
INVENTED_LEVEL, INVENTED_SCATTER = 85.0, 0.2
STEP_TIME = timedelta(seconds=0.5)
MANNERS = ("only there", "also true ones", "honest first")


@dataclass(frozen=True)
class Target:
    """The target of the lies. place: index of one of the world's stations, None for an invented one. shift: points."""

    name: str
    place: int | None
    shift: float
    minimum: float = 70.0


INVENTED = Target("invent", None, 0.0, 80.0)
LIFT, LIFT_FAR = Target("lift", PLAIN, 10.0), Target("lift", PLAIN, 27.0)
SINK, SINK_FAR = Target("sink", LEADER, -10.0, 80.0), Target("sink", LEADER, -20.0, 80.0)


class Attackers:
    """Several secrets with one target in a world."""

    def __init__(self, world: World, target: Target, secrets: int, name: str = "") -> None:
        self._world = world
        self.target = target
        label = f"{name} {target.name} {target.shift} {secrets} {world.seed}"
        self._random = Random(label)
        self.people = [
            person(f"attacker {label} {number}", START, self._random.gauss(0, 0.3)) for number in range(secrets)
        ]
        place = (PLACE[0] + 0.011, PLACE[1] - 0.013)
        self._invented = source(self._random, self.people[0], "Tarvey New", place, START)
        at = target.place
        self.station = self._invented["id"] if at is None else world.stations[at].id

    def burst(self, span: float = DAYS) -> Iterator[Sending]:
        """Yield what they send within a minute, half a second apart. span: days of backdating."""
        for number, who in enumerate(self.people):
            turns = [(turn + self._random.uniform(0.1, 0.9)) / READINGS for turn in range(READINGS)]
            days = [DAYS - span * (1 - turn) for turn in turns]
            lies = tuple(self._lie(who, day) for day in days)
            at = moment_of(DAYS) + STEP_TIME * (number + 1)
            yield Sending(at, who.secret, (*self._founding(number, 0.0), *lies))

    def patient(self, manner: str, days: int) -> Iterator[Sending]:
        """Yield what they send weekly over some days.

        manner: `only there`; `also true ones`, each time from another station; `honest first`, for half of the time
        only true ones, from two other stations each.
        """
        for number, who in enumerate(self.people):
            first = DAYS + (self._random.uniform(0.1, 6.9) if number else 0.05)
            for turn in range(int((DAYS + days - first) / 7) + 1):
                day = first + 7 * turn
                waits = manner == "honest first" and day < DAYS + days / 2
                records = [] if waits else [self._lie(who, day)]
                if manner != MANNERS[0]:
                    records += [self._true(who, day, number + turn + step) for step in range(2 if waits else 1)]
                founding = self._founding(number, first) if turn == 0 else ()
                yield Sending(moment_of(day) + timedelta(hours=1), who.secret, (*founding, *records))

    def _founding(self, number: int, day: float) -> tuple[Json, ...]:
        """The invented station, recorded by the first of them."""
        if self.target.place is not None or number:
            return ()
        return ({**self._invented, "recorded_at": moment_of(day).isoformat(timespec="seconds")},)

    def _lie(self, who: Person, day: float) -> Json:
        at = self.target.place
        if at is None:
            level = INVENTED_LEVEL + self._random.gauss(0, INVENTED_SCATTER)
        else:
            station = self._world.stations[at]
            level = station.level + self.target.shift + self._random.gauss(0, station.tau / 2)
        return test(self._random, who, self.station, moment_of(day), level + season(day))

    def _true(self, who: Person, day: float, turn: int) -> Json:
        """A true test at a station that is not the target, a few hours earlier."""
        others = [station for station in self._world.stations if station.id != self.station]
        station = others[turn % len(others)]
        earlier = day - self._random.uniform(0.05, 0.2)
        return test(self._random, who, station.id, moment_of(earlier), station.content(earlier))
