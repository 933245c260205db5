"""A6: how soon honest newcomers gain influence, and whether their reports show at once.

They test `QUIET`, whose level stepped up after its last visitor had stopped, and an unknown station.
"""

from collections.abc import Iterator
from random import Random

from study_trust.bench import Bench
from study_trust.records import Json, Person, Sending, person, source, test
from study_trust.site import Site
from study_trust.world import DAYS, LONGEST, PLACE, QUIET, START, STEP, Station, World, moment_of, season

EVERY = 7
OWN_LEVEL, OWN_SCATTER = 76.0, 1.0
"""Content of the unknown station."""


class Newcomers:
    """Honest people who come weekly from the attacks on. elsewhere: whether they also test two other stations."""

    def __init__(self, world: World, count: int, elsewhere: bool) -> None:
        self._random = random = Random(f"newcomers {world.seed} {count} {elsewhere}")
        self.station: Station = world.stations[QUIET]
        others = [station for station in world.stations if station is not self.station]
        self._places = [random.sample(others, 2) if elsewhere else [] for _ in range(count)]
        self._people = [person(f"newcomer {world.seed} {count} {k}", START, random.gauss(0, 0.4)) for k in range(count)]

    def week(self, day: float) -> Iterator[Sending]:
        """Yield what they send in the week starting on a day."""
        for number, (who, places) in enumerate(zip(self._people, self._places, strict=True)):
            then = day + 0.5 + number / 10
            at = [self.station, *places]
            records = [self._test(who, one, then + hours / 24) for hours, one in enumerate(at)]
            yield Sending(moment_of(then + 0.2), who.secret, tuple(records))

    def _test(self, who: Person, at: Station, day: float) -> Json:
        return test(self._random, who, at.id, moment_of(day), at.content(day))


def lines(bench: Bench) -> Iterator[str]:
    """Yield a line for each kind of newcomer."""
    stepped = World(bench.world.seed, STEP)
    for count, elsewhere in ((1, False), (1, True), (3, True)):
        people = Newcomers(stepped, count, elsewhere)
        where = "at three stations, two of others" if elsewhere else "only there"
        yield f"A6 {count} honest, weekly, {where}; the level rose by {STEP:g}: {followed(bench, people)}"
    yield f"A6 1 honest, weekly, only at a station of their own: {founded(bench)}"


def followed(bench: Bench, people: Newcomers) -> str:
    """Report when the typical content had moved by half of the step, and whether the first tests showed at once."""
    with bench.copy() as site:
        shown, said, reports = "", "", 0
        for day in range(DAYS, LONGEST - EVERY, EVERY):
            records = _sent(bench, site, list(people.week(day)), day)
            here = [record["id"] for record in records if record["source"] == people.station.id]
            reports += len(here)
            page = site.source(people.station.id)
            shown = shown or _shown(page, here)
            share, said = moved(bench, people.station, page, day + EVERY)
            if share > 0.5:
                return f"followed after {day + EVERY - DAYS} days and {reports} reports ({said}); {shown}"
        return f"not followed within {LONGEST - EVERY - DAYS} days and {reports} reports ({said}); {shown}"


def moved(bench: Bench, station: Station, page: Json, day: float) -> tuple[float, str]:
    """Return how far the typical content moved towards the truth, as a share, and the move in words, % (V/V).

    The start without newcomers is from the day of the attacks, plus the true season since then.
    """
    before = bench.honest[DAYS, 70.0][station.id].figures
    assert before
    without = before["typical"] + season(day) - season(DAYS)
    now, true = page["figures"]["typical"], station.expected(day)
    return (now - without) / (true - without), f"from {without:.1f} to {now:.1f}, true {true:.1f}"


def founded(bench: Bench) -> str:
    """Report when a new station gets figures and evidence from one person's weekly tests."""
    random = Random(f"founder {bench.world.seed}")
    who = person(f"founder {bench.world.seed}", START)
    own = source(random, who, "Cordane New", (PLACE[0] - 0.02, PLACE[1] + 0.02), moment_of(DAYS))
    when: dict[str, str] = {}
    shown = ""
    with bench.copy() as site:
        for day in range(DAYS, LONGEST - EVERY, EVERY):
            content = OWN_LEVEL + season(day) + random.gauss(0, OWN_SCATTER)
            record = test(random, who, own["id"], moment_of(day + 0.5), content)
            founding = (own,) if day == DAYS else ()
            _sent(bench, site, [Sending(moment_of(day + 0.6), who.secret, (*founding, record))], day)
            page = site.source(own["id"])
            shown = shown or _shown(page, [record["id"]])
            for mark in range(4):
                if page["figures"] and page["figures"]["evidence"] >= mark:
                    when.setdefault(f"{mark} marks" if mark else "figures", f"day {day + EVERY - DAYS}")
    return ", ".join(f"{what} {day}" for what, day in when.items()) + f"; {shown}"


def _sent(bench: Bench, site: Site, sendings: list[Sending], day: int) -> list[Json]:
    """Push a week of newcomers among honest people; return the tests of the newcomers."""
    bench.attacked(site, sendings, day + EVERY, day)
    return [record for sending in sendings for record in sending.records if record["kind"] == "test"]


def _shown(page: Json, ids: list[str]) -> str:
    there = {one["id"] for one in page["tests"]} & set(ids)
    return f"{len(there)} of the first {len(ids)} shown in the first week"
