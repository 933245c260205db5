"""The notebooks of an invented community: the tests its contributors send, including their mistakes.

A contributor has a secret and a tube. Of the tests they send, some are entered twice, some are corrected,
some are sent again, and some are grossly wrong.
"""

from collections import Counter, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from random import Random

from load.stations import DAYS, Json, Station, Stations, identifier

PEOPLE = 300
TWICE, CORRECTED, AGAIN, ODD = 0.03, 0.02, 0.02, 0.01
"""Shares of the records sent."""
REMEMBERED = 100
VISITS_IN_A_ROUND = 50
SAME_STATION = 0.08
"""How often a person revisits a station in the same round."""

# Content in % (V/V) for a line, with 50 mL of water and 50 mL of fuel with 0.5 % (V/V) of water: powers
# of (line - 85 mL)/10 by powers of (temperature - 15)/20. Fitted to the equation of a tube with the densities of
# OIML R 22; within 0.03 from 30 to 97 % and from -5 to 35 degrees Celsius.
BY_LINE = (
    (75.6636, -0.7482, 0.1665),
    (21.1226, -0.1161, 0.0042),
    (-0.1828, 0.0565, -0.0135),
    (0.0377, -0.0158, 0.0050),
)


@dataclass(frozen=True)
class Batch:
    """What one contributor sends at once. who, earlier: whose notebook it is, and its former contents."""

    secret: str
    records: list[Json]
    who: int = 0
    earlier: tuple[Json, ...] = ()


class Notebook:
    """One contributor's notebook."""

    def __init__(self, random: Random, number: int, seed: int, start: datetime) -> None:
        self.secret = sha256(f"contributor {number} of {seed}".encode()).hexdigest()
        self.tube = {"id": identifier(random, start), "scale": "volume", "graduation": random.choice((0.5, 1.0, 2.0))}
        self.reads_high = random.gauss(0, 0.15)
        self.noted: deque[Json] = deque(maxlen=REMEMBERED)


class Notebooks:
    """Everyone's notebooks. sorts: how many tests of each sort were made so far."""

    def __init__(self, stations: Stations, seed: int, people: int = PEOPLE) -> None:
        self._random = Random(f"notebooks {seed}")
        self.stations = stations
        self.all = [Notebook(self._random, number, seed, stations.start) for number in range(people)]
        self._turn = 0
        self.sorts: Counter[str] = Counter()

    def sources(self) -> Iterator[Batch]:
        """Yield all stations as their contributors push them."""
        for number, notebook in enumerate(self.all):
            if mine := [station.record for station in self.stations.all[number :: len(self.all)]]:
                yield Batch(notebook.secret, mine)

    def batches(self, count: int, size: int) -> Iterator[Batch]:
        """Yield the next batches, each from the next contributor."""
        for _ in range(count):
            yield self.batch(size)

    def batch(self, size: int) -> Batch:
        """Return what the next contributor sends."""
        who = self._turn % len(self.all)
        notebook = self.all[who]
        earlier = tuple(notebook.noted)
        self._turn += 1
        records: list[Json] = []
        for number in range(size):
            if number % VISITS_IN_A_ROUND == 0:
                seen: set[str] = set()
            records.append(self._sent(notebook, seen))
        return Batch(notebook.secret, records, who, earlier)

    def take_back(self, batches: Sequence[Batch]) -> None:
        """Forget the last batches, which were not sent, so that later corrections do not refer to them."""
        for batch in reversed(batches):
            self.all[batch.who].noted = deque(batch.earlier, REMEMBERED)
        self._turn -= len(batches)

    def single(self, who: int, at: Station, days: float = DAYS) -> Batch:
        """Return one new test by a contributor at a station. days: the last days in which it was made."""
        random, notebook = self._random, self.all[who % len(self.all)]
        day = DAYS - days * (1 - random.random())
        return Batch(notebook.secret, [_test(random, notebook, at, self.stations.start, day, odd=False)])

    def _sent(self, notebook: Notebook, seen: set[str]) -> Json:
        """The next test that a contributor sends; mostly a new one."""
        random = self._random
        die, noted = random.random(), notebook.noted
        if noted and die < TWICE:
            sort, record = "twice", {**(first := random.choice(noted)), "id": _like(random, first["id"])}
        elif noted and die < TWICE + CORRECTED:
            sort, record = "corrected", self._correct(notebook)
        elif noted and die < TWICE + CORRECTED + AGAIN:
            sort, record = "again", random.choice(noted)
        else:
            odd = die > 1 - ODD
            at = self._next(seen)
            sort = "odd" if odd else "new"
            record = _test(random, notebook, at, self.stations.start, random.random() * DAYS, odd)
            noted.append(record)
        self.sorts[sort] += 1
        return record

    def _next(self, seen: set[str]) -> Station:
        """The next station in a person's round."""
        at = self.stations.visited(self._random)
        while at.id in seen and self._random.random() > SAME_STATION:
            at = self.stations.visited(self._random)
        seen.add(at.id)
        return at

    def _correct(self, notebook: Notebook) -> Json:
        """A correction of a test whose line was half a millilitre wrong."""
        place = self._random.randrange(len(notebook.noted))
        test = notebook.noted[place]
        lines = [run["line"] + 0.5 for run in test["runs"]]
        corrected = {**test, "revision": test["revision"] + 1, **_read(lines, test["temperature"])}
        notebook.noted[place] = corrected
        return corrected


def content_of(line: float, temperature: float) -> float:
    """Return the content for a line, % (V/V). line: mL; temperature: degrees Celsius."""
    x, y = (line - 85) / 10, (temperature - 15) / 20
    rows = [constant + y * (slope + y * bend) for constant, slope, bend in BY_LINE]
    return rows[0] + x * (rows[1] + x * (rows[2] + x * rows[3]))


def line_of(content: float, temperature: float) -> float:
    """Return the line for a content, mL."""
    line = 85.0
    for _ in range(3):
        line += (content - content_of(line, temperature)) / 2.11
    return line


def _test(random: Random, notebook: Notebook, at: Station, start: datetime, day: float, odd: bool) -> Json:
    moment = start + timedelta(days=day)
    content = at.content(day, moment)
    if odd:
        # As if too little fuel had been filled in.
        content -= random.uniform(30, 45)
    warmth = round(12 + 1.5 * at.season + random.gauss(0, 3) if moment.month in range(4, 10) else random.gauss(6, 3))
    line = line_of(min(max(content, 31), 93), warmth) + notebook.reads_high
    lines = [round(2 * line + random.uniform(-0.4, 0.4)) / 2 for _ in range(random.choice((1, 2, 2, 3)))]
    test = {
        "kind": "test",
        "id": identifier(random, moment),
        "revision": 1,
        "source": at.id,
        "sampled": "pump" if random.random() < 0.95 else "can",
        "sampled_at": moment.isoformat(timespec="seconds"),
        "tested_at": (moment + timedelta(minutes=random.randrange(10, 90))).isoformat(timespec="seconds"),
        "tube": notebook.tube,
        "temperature": warmth,
        "temperature_measured": random.random() < 0.8,
        "fuel_water": 0.5,
        **_read(lines, warmth),
        "consent": "CC0-1.0",
    }
    if random.random() < 0.2:
        test["note"] = f"pump {random.randrange(1, 9)}, cloudy for {random.randrange(2, 30)} minutes"
    return test


def _read(lines: list[float], temperature: float) -> Json:
    """The figures computed from the lines."""
    contents = [content_of(line, temperature) for line in lines]
    return {
        "runs": [{"water": 50.0, "fuel": 50.0, "line": line} for line in lines],
        "content": round(sum(contents) / len(contents), 3),
        "expanded_uncertainty": 2.5,
    }


def _like(random: Random, first: str) -> str:
    """An identifier with the same time as another."""
    return f"{first[:14]}7{random.getrandbits(12):03x}-8{random.getrandbits(12):03x}-{random.getrandbits(48):012x}"
