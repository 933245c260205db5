"""The invented scenario: a club samples its stations for months, through the same intake as real data.

The readings come from `tubes`, which shares nothing with the tube model; the model is used only to compute what the
phone would.
"""

import json
import math
from asyncio import gather
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.resources import files
from random import Random
from typing import Any, cast

import msgspec

from splitline.checking import physics
from splitline.chemistry.budget import MODEL, Figures
from splitline.chemistry.measurement import ScaleKind
from splitline.demo import tubes
from splitline.demo.tubes import Filled, Weather
from splitline.errors import Problem
from splitline.identity import Identity, identity_of
from splitline.intake.intake import Intake
from splitline.records import LICENCE, Record, Run, Source, Test, Tube

MONTH = 30.4
# Amplitude of the season, % (V/V): lower in winter, higher in summer.
SEASON = 4.0
HIGH_SUMMER = 196  # day of the year
DELIVERY = 9.0  # days between deliveries
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Parcel:
    """What one member sends, in the order it was made. at: the time of sending, about once a week."""

    identity: Identity
    at: datetime
    records: tuple[Record, ...]


def scenario() -> dict[str, Any]:
    """Return the stations, tubes and members of `scenario.json`."""
    return cast(
        dict[str, Any], json.loads(files("splitline.demo").joinpath("scenario.json").read_text(encoding="utf-8"))
    )


async def fill(intake: Intake, now: datetime) -> int:
    """Send the whole scenario, ending at `now`, into an empty server; return the number of records sent."""
    sending = []
    for parcel in sorted(parcels(now), key=lambda parcel: parcel.at):
        records = [msgspec.json.encode(record) for record in parcel.records]
        sending.append(intake.receive(parcel.identity, records, parcel.at))
    answered = [answer for answers in await gather(*sending) for answer in answers]
    refused = [problem.code for answer in answered if answer.status == "refused" for problem in answer.problems]
    assert not refused, f"the demo's own records were refused: {refused}"
    return len(answered)


def parcels(now: datetime) -> Iterator[Parcel]:
    """Make every member's records; the same for the same `now`."""
    story = scenario()
    random = Random(story["seed"])
    start = now - timedelta(days=MONTH * story["months"])
    pumps = [Pump(random, station, start, now) for station in story["stations"]]
    recorded: set[int] = set()
    for member in story["members"]:
        identity = identity_of(random.randbytes(32).hex())
        assert identity is not None, "32 bytes make a secret"
        tube = MemberTube(random, story["tubes"][member["tube"]], member.get("taken_for"), start)
        records: list[Record] = []
        for number in member["stations"]:
            if number not in recorded:
                recorded.add(number)
                records.append(pumps[number].source)
            records += [tube.test(random, pumps[number], moment) for moment in _visits(random, start, now)]
        yield from _sent(identity, _computed(records), start, now)


def _sent(identity: Identity, records: Iterable[Record], start: datetime, now: datetime) -> Iterator[Parcel]:
    """Records wait on a phone until it next has a signal."""
    by_week: defaultdict[int, list[Record]] = defaultdict(list)
    for record in records:
        made = record.tested_at if isinstance(record, Test) else start
        by_week[(made - start) // WEEK].append(record)
    for week, some in sorted(by_week.items()):
        yield Parcel(identity, min(now, start + (week + 1) * WEEK), tuple(some))


def _visits(random: Random, start: datetime, now: datetime) -> Iterator[datetime]:
    """A club member's visits to one station: in daytime, about every fortnight, sometimes a month apart."""
    moment = start + timedelta(days=random.uniform(1, 14))
    while moment < now - timedelta(hours=20):
        yield moment.replace(hour=random.randint(7, 18), minute=random.randint(0, 59), second=0, microsecond=0)
        moment += timedelta(days=random.choice([12, 14, 15, 21, 28]) + random.uniform(-2, 2))


def season(moment: datetime) -> float:
    """Return the change in content from the season, %: winter blends are weaker by design."""
    day = moment.timetuple().tm_yday
    return SEASON * math.cos(2 * math.pi * (day - HIGH_SUMMER) / 365.25)


class Pump:
    """A station: what its tank held at any time."""

    def __init__(self, random: Random, station: dict[str, Any], start: datetime, now: datetime) -> None:
        self._station = station
        self._start = start
        deliveries = int((now - start) / timedelta(days=DELIVERY)) + 2
        self._deliveries = [random.gauss(0, station["scatter"]) for _ in range(deliveries)]
        self._water = [random.uniform(7, 13) for _ in range(deliveries)]
        self.source = Source(
            kind="source",
            id=_identifier(random, start),
            revision=1,
            name=station["name"],
            latitude=station["latitude"],
            longitude=station["longitude"],
            recorded_at=start,
            pump=station.get("pump", ""),
        )

    def held(self, moment: datetime) -> tuple[float, float]:
        """Return the ethanol and the water in the fuel at a moment, % (V/V)."""
        delivery = int((moment - self._start) / timedelta(days=DELIVERY))
        dry = self._station["level"] + season(moment) + self._deliveries[delivery]
        changed = moment - self._start > timedelta(days=MONTH * self._station.get("change_month", 1e4))
        if changed and self._station["story"] == "supplier":
            dry += self._station["change"]
        water = self._water[delivery] if changed and self._station["story"] == "water" else 0.4
        return dry * (1 - water / 100), water


class MemberTube:
    """A member's tube, and how carefully the member reads it."""

    def __init__(self, random: Random, tube: dict[str, Any], taken_for: str | None, start: datetime) -> None:
        self._drawn: str = tube["scale"]
        self._water: float = tube["water"]
        self._fuel: float = tube["fuel"]
        self._step = tube["graduation"]
        scale = cast(ScaleKind, taken_for or tube["scale"])
        self.tube = Tube(id=_identifier(random, start), scale=scale, graduation=tube["graduation"])

    def test(self, random: Random, pump: Pump, moment: datetime) -> Test:
        """Return one visit, not yet computed: two runs, sometimes a third, with errors of filling and reading.

        Members with a thermometer measure all three temperatures. The others enter the air's for what they fill, and
        three degrees more for the tube, which has warmed.
        """
        minutes, thermometer = random.randint(25, 300), random.random() < 0.7
        weather, settled = Weather.at(random, season(moment) / SEASON, minutes), random.uniform(12, 25)
        made = [self._run(random, pump.held(moment), weather, settled) for _ in range(random.choice([2, 2, 2, 3]))]
        guesses = (weather.air, weather.air, weather.air + 3)
        known = (weather.water, weather.fuel, sum(warm for _, warm in made) / len(made))
        water, fuel, temperature = (float(round(degrees)) for degrees in (known if thermometer else guesses))
        return Test(
            kind="test",
            id=_identifier(random, moment),
            revision=1,
            source=pump.source.id,
            sampled="pump",
            sampled_at=moment,
            tested_at=moment + timedelta(minutes=minutes),
            tube=self.tube,
            temperature=temperature,
            temperature_measured=thermometer,
            water_temperature=water,
            water_temperature_measured=thermometer,
            fuel_temperature=fuel,
            fuel_temperature_measured=thermometer,
            fuel_water=0.5,
            runs=tuple(run for run, _ in made),
            content=0.0,
            expanded_uncertainty=1.0,
            model=MODEL,
            consent=LICENCE,
        )

    def _run(self, random: Random, held: tuple[float, float], weather: Weather, settled: float) -> tuple[Run, float]:
        """One run, read after so many minutes, and the tube's temperature then: filled to two marks, approximately."""
        half_step = (self._step if self._drawn == "volume" else self._fuel * self._step / 100) / 2
        water, top = (
            mark + random.uniform(-half_step, half_step) / 2 for mark in (self._water, self._water + self._fuel)
        )
        ethanol, fuel_water = held
        filled = Filled(water, top - water, ethanol / 100, fuel_water / 100, weather.water, weather.fuel)
        warm = tubes.warm(filled, weather.air, settled)
        reading = self._shown(tubes.line(filled, warm))
        read = round(2 * reading / self._step) * self._step / 2  # read to half a step
        if self.tube.scale == "volume":
            return Run(water=self._water, fuel=self._fuel, line=read), warm
        return Run(water=self._water, fuel=self._fuel, percent=read), warm

    def _shown(self, line: float) -> float:
        """The printed reading at a line."""
        if self._drawn == "volume":
            return line
        if self._drawn == "linear":
            return 100 * (line - self._water) / self._fuel
        return tubes.printed_percent(line, self._water, self._fuel)


def _computed(records: Iterable[Record]) -> Iterator[Record]:
    """The records, tests with the figures that the phone computes from their runs; all at once, which is faster."""
    records = list(records)
    found = iter(physics.figures([one for one in records if isinstance(one, Test)]))
    for one in records:
        yield _with(one, next(found)) if isinstance(one, Test) else one


def _with(unsure: Test, figures: Figures | list[Problem]) -> Test:
    assert isinstance(figures, Figures), "the demo's own runs give a result"
    uncertainty = round(figures.expanded_uncertainty, 3)
    return msgspec.structs.replace(unsure, content=round(figures.content, 3), expanded_uncertainty=uncertainty)


def _identifier(random: Random, moment: datetime) -> str:
    """A UUID version 7 for a time."""
    milliseconds = int(moment.timestamp() * 1000)
    number = (milliseconds << 80) | random.getrandbits(80)
    number = number & ~(0xF << 76) | (0x7 << 76)
    number = number & ~(0x3 << 62) | (0x2 << 62)
    text = f"{number:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
