"""A made-up region: stations, their deliveries and tanks, and the tests that people make there. Contents in % (V/V).

It does not use `splitline`, and does not follow any estimator's assumptions. All data are invented; the product is
never tuned on them.

- A delivery's content is the station's level plus the season on its day plus scatter. It is mixed with a share of old
  fuel (the heel). A test reads the tank at that moment, so tests between two deliveries read the same fuel.
- A tube reads all its tests too high or too low by the same offset. Some tests are grossly wrong.

The truth on the day of judgement:

- level: the mean content of deliveries on this day, season included.
- tank_level: the mean content of tanks like this one on this day. Their fuel came days or weeks before, earlier in the
  season.
- next_fill: the content of the tank after one more delivery on this day, read exactly.
- tau: the standard deviation of deliveries around level and season.
- tank_tau: the same for tanks, which is smaller because of the heel. It is what somebody who fills up experiences.
- minimum: a content somebody requires, within 4 points of the level.
- step: when the level changed and by how much; None if it did not.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from study.tank import ages, left_by, parts, tank_of

YEAR = 365.25
NEW_YEAR = 20_454.0
"""1 January 2026, in days since 1970-01-01."""
AUTUMN_ENDS = 318.0
"""Day of the year on which the drop of the season `autumn` is over: 14 November."""


@dataclass(frozen=True)
class World:
    """What a region is like.

    days: from the first possible test to the day of judgement. visits: number of tests per station, at random times, or
    every: days between tests. people: number per station. gaps: days between deliveries. heel: share of old fuel in
    the tank. offset: SD of the tubes' offsets; stated: whether tests state its uncertainty. gross: share of gross
    errors. step: of the level of every fifth station, up or down, `step_ago` days before the day of judgement, +- 20.
    timing: SD of the shift of the season from station to station, days.
    """

    sources: int = 40
    days: float = 730.0
    season: str = "cosine"
    visits: tuple[int, int] = (3, 40)
    every: float | None = None
    people: tuple[int, int] = (1, 4)
    gaps: tuple[float, float] = (2.0, 20.0)
    heel: tuple[float, float] = (0.05, 0.2)
    taus: tuple[float, float] = (0.3, 3.0)
    scatter: str = "normal"
    offset: float = 0.7
    stated: bool = True
    gross: float = 0.0
    step: float = 0.0
    step_ago: float = 365.0
    timing: float = 0.0


class Reading(NamedTuple):
    """One test: day, content, its own and its shared standard uncertainty (None: not stated), person, tube."""

    day: float
    content: float
    own: float
    shared: float | None
    contributor: str
    tube: str


@dataclass(frozen=True)
class Step:
    """The level changes by `size` on `day`."""

    day: float
    size: float


@dataclass(frozen=True)
class Source:
    """A station: the truth on the day of judgement, see the module, and its tests in no order."""

    level: float
    tank_level: float
    next_fill: float
    tau: float
    tank_tau: float
    minimum: float
    step: Step | None
    readings: list[Reading]


@dataclass(frozen=True)
class Region:
    """Stations by name on a day of judgement, in days since 1970-01-01."""

    day: float
    sources: dict[str, Source]


@dataclass(frozen=True)
class Tube:
    """Its owner, how far it reads too high, and the SD of its readings of one fuel."""

    owner: str
    name: str
    offset: float
    noise: float


SEASONS: dict[str, tuple[list[float], list[float]]] = {
    "none": ([0.0], [0.0]),
    # April and October are the ramps.
    "ramps": ([90.0, 120.0, 273.0, 303.0], [-4.0, 4.0, 4.0, -4.0]),
    "autumn": ([55.0, 115.0, AUTUMN_ENDS - 60.0, AUTUMN_ENDS], [-8.0, 0.0, 0.0, -8.0]),
}
"""The effect of the season: days since 1 January, points; linear in between."""


def season_at(name: str, day: ArrayLike) -> np.ndarray:
    """Return the effect of the season on the content; day: since 1970-01-01. `cosine` is lowest on 15 January."""
    passed = np.asarray(day) - NEW_YEAR
    if name == "cosine":
        return -4.0 * np.cos(2 * pi * (passed - 14.0) / YEAR)
    return np.interp(passed, *SEASONS[name], period=YEAR)


SCATTERS: dict[str, Callable[[np.random.Generator], float]] = {
    "normal": lambda random: random.normal(),
    # One delivery in ten comes from somewhere else: 0.9 * 0.7**2 + 0.1 * 2.3643**2 = 1.
    "heavy": lambda random: random.normal() * (2.3643 if random.random() < 0.1 else 0.7),
    "light": lambda random: random.uniform(-sqrt(3.0), sqrt(3.0)),
    # Mostly a little above, sometimes far below.
    "skew": lambda random: (2.0 - random.gamma(2.0)) / sqrt(2.0),
}
"""Draws of mean 0 and standard deviation 1."""


def region(random: np.random.Generator, world: World) -> Region:
    """Draw a region. The season `autumn` is judged within five days of its end, any other on any day of the year."""
    day = NEW_YEAR + (AUTUMN_ENDS + random.uniform(-5, 5) if world.season == "autumn" else random.uniform(0, YEAR))
    # One in five people has a second tube.
    owners = [f"p{number}" for number in range(world.sources // 3 + world.people[1])]
    tubes = [_tube(random, world, who, f"{who}-{k}") for who in owners for k in range(1 + (random.random() < 0.2))]
    return Region(
        day, {f"s{number:02d}": _source(random, world, day, tubes, number) for number in range(world.sources)}
    )


def _tube(random: np.random.Generator, world: World, owner: str, name: str) -> Tube:
    return Tube(owner, name, random.normal() * world.offset, random.uniform(0.4, 1.2))


def _source(random: np.random.Generator, world: World, now: float, tubes: list[Tube], number: int) -> Source:
    level = random.normal(76.0, 3.0)
    tau = float(np.exp(random.uniform(*np.log(world.taus))))
    shift = random.normal() * world.timing
    step = _step(random, world, now) if world.step and number % 5 == 0 else None

    def expected(day: ArrayLike) -> np.ndarray:
        moved = step.size * (np.asarray(day) >= step.day) if step else 0.0
        return level + season_at(world.season, np.asarray(day) - shift) + moved

    def delivered(day: float) -> float:
        return float(expected(day)) + tau * SCATTERS[world.scatter](random)

    days, tanks = tank_of(random, world.gaps, world.heel, now - world.days, now, delivered)
    heel = random.uniform(*world.heel)
    next_fill = heel * tanks[-1] + (1.0 - heel) * delivered(now)
    moments = _moments(random, world, now)
    seen = tanks[np.searchsorted(days, moments, side="right") - 1]
    readings = _readings(random, world, moments, seen, tubes)
    mean, asked = float(expected(now)), random.uniform(-4.0, 4.0)
    lagging = float((expected(now - ages(random, world.gaps)) @ parts(world.heel)).mean())
    return Source(mean, lagging, next_fill, tau, tau * left_by(world.heel), mean + asked, step, readings)


def _step(random: np.random.Generator, world: World, now: float) -> Step:
    return Step(now - world.step_ago + random.uniform(-20.0, 20.0), float(random.choice([-1, 1])) * world.step)


def _moments(random: np.random.Generator, world: World, now: float) -> np.ndarray:
    """Days of tests. Regular visits are a little early or late, and one in ten is missed."""
    if world.every is None:
        return now - random.uniform(0.0, world.days, random.integers(world.visits[0], world.visits[1] + 1))
    regular = np.arange(random.uniform(0.0, world.every), world.days, world.every)
    kept = regular[random.random(regular.size) > 0.1]
    return now - np.clip(kept + random.normal(0.0, world.every / 8.0, kept.size), 0.0, world.days)


def _readings(
    random: np.random.Generator, world: World, moments: np.ndarray, seen: np.ndarray, tubes: list[Tube]
) -> list[Reading]:
    """Tests by a few people, some of whom come far more often than others."""
    owners = sorted({tube.owner for tube in tubes})
    people = random.choice(owners, random.integers(world.people[0], world.people[1] + 1), replace=False)
    shares = random.dirichlet(np.ones(people.size))
    found = []
    for day, content in zip(moments, seen, strict=True):
        who = random.choice(people, p=shares)
        own = [tube for tube in tubes if tube.owner == who]
        tube = own[random.integers(len(own))]
        said = content + tube.offset + random.normal() * tube.noise
        if random.random() < world.gross:
            said = wrong(random, said)
        # A file without shared uncertainties has no tubes either.
        shared, name = (world.offset, tube.name) if world.stated else (None, "")
        found.append(Reading(float(day), float(said), tube.noise, shared, str(who), name))
    return found


def wrong(random: np.random.Generator, content: float) -> float:
    """A gross error, all kinds equally likely: 3 to 8 points, 8 to 20, swapped digits, misplaced point, wrong scale."""
    side = random.choice([-1.0, 1.0])
    tens, ones = divmod(content, 10.0)
    return [
        content + side * random.uniform(3.0, 8.0),
        content + side * random.uniform(8.0, 20.0),
        10.0 * (ones // 1.0) + tens + ones % 1.0,
        content / 10.0,
        content + side * 6.0,
    ][random.integers(5)]
