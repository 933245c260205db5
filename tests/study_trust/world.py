"""An honest region: 12 stations, 15 people who come weekly or monthly, and their records in order of arrival.

It does not follow the server's assumptions. All values are invented; the product is never tuned on them.

- A station's content is a level plus season plus scatter of deliveries, part of which all stations of a depot share.
  `LEADER` is steady and high, and three people test it every fortnight; `PLAIN` has 70 %, and two people test it.
- People join on different days and test their 1 to 4 stations in turn. Each has a tube with an offset and does two
  runs. One test in fifty has a gross error. Three in ten are sent without a signal and arrive up to a week late.
- `QUIET` was tested by one person, who also tests another station and stopped on day 200; its level may step up later.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from math import cos, exp, log, pi, sqrt
from random import Random

from study_trust.records import Json, Person, Sending, person, source, test

START = datetime(2025, 7, 1, tzinfo=UTC)
DAYS, LONGEST = 300, 480
"""Days of honest tests before the attacks; day on which honest tests end."""
STATIONS, PEOPLE, WEEKLY = 12, 15, 7
LEADER, PLAIN, QUIET = 0, 1, 11
SEASON = 3.0
DEPOTS, DEPOT_SCATTER = 3, 0.6
GROSS, NO_SIGNAL = 0.02, 0.3
OFFSETS = 0.6
"""SD of the tubes' offsets, points."""
STOPPED, STEPPED, STEP = 200, 290, 6.0
PLACE = (45.75, 3.05)
"""In one French department, far from its borders."""


@dataclass(frozen=True)
class Station:
    """A station. scatters: of its own deliveries, every `interval` days; shared: of its depot's, every 10 days."""

    record: Json
    level: float
    tau: float
    interval: float
    scatters: tuple[float, ...]
    shared: tuple[float, ...]
    steps_up: float = 0.0

    @property
    def id(self) -> str:
        """Its identifier."""
        return str(self.record["id"])

    def expected(self, day: float) -> float:
        """Return the mean content of deliveries on a day, % (V/V)."""
        return self.level + season(day) + (self.steps_up if day >= STEPPED else 0.0)

    def content(self, day: float) -> float:
        """Return the content at the pump, % (V/V)."""
        return self.expected(day) + self.scatters[int(day / self.interval)] + self.shared[int(day / 10)]


@dataclass(frozen=True)
class Visitor:
    """A person, their stations in turn, the days between visits, and the first and last day."""

    who: Person
    places: tuple[int, ...]
    every: float
    first: float
    last: float = LONGEST

    def first_at(self, number: int) -> float:
        """Return the day of the first visit to a station."""
        return self.first + self.places.index(number) * self.every


def moment_of(day: float) -> datetime:
    """Return a day since the start as a moment."""
    return START + timedelta(days=day)


def season(day: float) -> float:
    """Return the effect of the season on the content, points: highest in mid-July."""
    return SEASON * cos(2 * pi * (moment_of(day).timetuple().tm_yday - 196) / 365.25)


class World:
    """A region, the same for the same seed."""

    def __init__(self, seed: int, steps_up: float = 0.0) -> None:
        """steps_up: of the level of `QUIET`, points."""
        self.seed = seed
        self._random = random = Random(f"world {seed}")
        depots = [tuple(random.gauss(0, DEPOT_SCATTER) for _ in range(LONGEST // 10 + 1)) for _ in range(DEPOTS)]
        self.visitors = [_visitor(random, seed, number) for number in range(PEOPLE)]
        self.stations = [
            _station(random, number, self.creator(number).who, depots[number % DEPOTS]) for number in range(STATIONS)
        ]
        self.stations[QUIET] = replace(self.stations[QUIET], steps_up=steps_up)
        self.sendings = sorted(self._sendings(), key=lambda sending: sending.at)

    def between(self, first: float, last: float) -> Iterator[Sending]:
        """Yield what the server receives between two days."""
        return (one for one in self.sendings if moment_of(first) <= one.at < moment_of(last))

    def creator(self, number: int) -> Visitor:
        """Return who recorded a station: the first person to come."""
        return min((v for v in self.visitors if number in v.places), key=lambda v: v.first_at(number))

    def _sendings(self) -> Iterator[Sending]:
        for number, station in enumerate(self.stations):
            creator = self.creator(number)
            # A minute before the first test there.
            yield Sending(moment_of(creator.first_at(number) - 1 / 1440), creator.who.secret, (station.record,))
        for visitor in self.visitors:
            yield from self._tests(visitor)

    def _tests(self, visitor: Visitor) -> Iterator[Sending]:
        random = self._random
        for turn in range(int((visitor.last - visitor.first) / visitor.every)):
            day = visitor.first + turn * visitor.every + random.uniform(0, 0.5)
            station = self.stations[visitor.places[turn % len(visitor.places)]]
            content = station.content(day)
            if random.random() < GROSS:
                content += random.choice((-1, 1)) * random.uniform(8, 20)
            record = test(random, visitor.who, station.id, moment_of(day), content)
            late = random.uniform(1, 7) if random.random() < NO_SIGNAL else 1 / 24
            yield Sending(moment_of(day + late), visitor.who.secret, (record,))


def _station(random: Random, number: int, creator: Person, depot: tuple[float, ...]) -> Station:
    tau = exp(random.uniform(log(0.8), log(3.0)))
    level = random.gauss(74, 3)
    if number == LEADER:
        level, tau = 83.0, 0.7
    if number == PLAIN:
        level, tau = 70.0, 1.5
    place = (PLACE[0] + random.uniform(-0.2, 0.2), PLACE[1] + random.uniform(-0.25, 0.25))
    interval, own = random.uniform(5, 15), sqrt(tau**2 - DEPOT_SCATTER**2)
    scatters = tuple(random.gauss(0, own) for _ in range(int(LONGEST / interval) + 2))
    name = f"{random.choice(('Arbec', 'Cordane', 'Fenlix', 'Lommont', 'Tarvey'))} {number + 1}"
    record = source(random, creator, name, place, START)
    return Station(record, level, tau, interval, scatters, depot)


PLACES = ((PLAIN, LEADER), (PLAIN, 2), (LEADER, 3), (LEADER, 4))
"""Stations of the first four people, who come weekly from the first month."""


def _visitor(random: Random, seed: int, number: int) -> Visitor:
    who = person(f"honest {number} of {seed}", START, random.gauss(0, OFFSETS), random.uniform(0.3, 0.7))
    every = (7.0 if number < WEEKLY else 30.0) * random.uniform(0.9, 1.1)
    if number < len(PLACES):
        return Visitor(who, PLACES[number], every, random.uniform(0, 20))
    if number == PEOPLE - 1:
        return Visitor(who, (QUIET, 3), 12.0, random.uniform(0, 20), STOPPED)
    # Everyone else starts with a different station, so that each has a visitor.
    others = [place for place in range(2, STATIONS - 1) if place != number - 2]
    first = 2 + (number - len(PLACES)) % (STATIONS - 3)
    more = random.sample([place for place in others if place != first], random.randint(0, 3))
    return Visitor(who, (first, *more), every, random.uniform(0, 20) if number < 9 else random.uniform(0, 250))
