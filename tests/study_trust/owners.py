"""A7 and A8: a creator moves or renames a source that others tested, and somebody claims others' ids."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from study_trust.bench import BACKED_UP, Bench
from study_trust.records import Json, Person, Sending, person
from study_trust.site import Site
from study_trust.world import DAYS, START, Station, World, moment_of

FAR, NEIGHBOUR = (48.1, -1.65), (45.05, 2.55)
"""500 km away; and 90 km away, in the next region. Both far from any border. WGS 84 degrees."""
METRES = 1 / 111_200
"""Degrees of latitude."""
TAKEN = ("stored", "replaced", "known")


@dataclass(frozen=True)
class Change:
    """A creator's change of a source. allowed: whether it may take effect at once."""

    name: str
    fields: Json
    allowed: bool


def changes(record: Json) -> list[Change]:
    """Return the changes that creators try, one at a time."""
    north = record["latitude"]
    return [
        Change("moved by 100 m", {"latitude": round(north + 100 * METRES, 5)}, True),
        Change("moved by 1 km", {"latitude": round(north + 1000 * METRES, 5)}, False),
        Change("moved by 500 km", dict(zip(("latitude", "longitude"), FAR, strict=True)), False),
        Change("moved to the next region", dict(zip(("latitude", "longitude"), NEIGHBOUR, strict=True)), False),
        Change("renamed", {"name": "Pharmacy"}, False),
    ]


def tried(site: Site, world: World, station: Station, change: Change, revision: int) -> tuple[Json, Json]:
    """Let the creator of a station change it; return the answer and the source's page afterwards."""
    creator = world.creator(world.stations.index(station)).who
    [answer] = site.push(creator.secret, [{**station.record, "revision": revision, **change.fields}])
    return answer, site.source(station.id)


def kept(page: Json, record: Json, region: str) -> bool:
    """Whether a source is still within 150 m, with the same name and in the same region."""
    metres = max(abs(page[side] - record[side]) for side in ("latitude", "longitude")) / METRES
    return bool(metres < 150 and page["name"] == record["name"] and page["region"] == region)


def moves(bench: Bench) -> Iterator[str]:
    """Yield a line for each change by a creator of a source that others tested."""
    shared = [one for one in bench.world.stations if people(bench, one) > 1]
    for number, change in enumerate(changes(shared[0].record)):
        with bench.copy() as site:
            station = shared[number % len(shared)]
            change = changes(station.record)[number]
            region = site.source(station.id)["region"]
            answer, page = tried(site, bench.world, station, change, 2)
            came = "place, name, region kept" if kept(page, station.record, region) else "it came about at once"
            where = f"{page['name']!r} in {page['region']}, {len(page['tests'])} tests"
            yield f"A7 {change.name}: answer {answer['status']}; {came}: {where}, was in {region}"


def people(bench: Bench, station: Station) -> int:
    """Return how many people the server says have tested a station."""
    figures = bench.honest[DAYS, 70.0][station.id].figures
    return int(figures["contributors"]) if figures else 0


@dataclass(frozen=True)
class Claim:
    """claimed: answers to the thief who pushed others' ids; owners: to the owners, later; lost: owners' records that a
    pull does not return as sent."""

    claimed: list[str]
    owners: list[str]
    lost: int

    def __str__(self) -> str:
        back = sum(status in TAKEN for status in self.owners)
        taken = sum(status in TAKEN for status in self.claimed)
        return (
            f"{taken} of {len(self.claimed)} ids taken from the claimant, {back} of {len(self.owners)} from the owners "
            f"afterwards; {self.lost} records of theirs are not there"
        )


def claimed(world: World, site: Site) -> Claim:
    """Let a thief push others' records from after the backup, with another content, before the owners do."""
    late = [one for one in world.between(BACKED_UP, DAYS) if one.records[0]["kind"] == "test"]
    thief = person(f"thief of {world.seed}", START)
    site.at(moment_of(DAYS) + timedelta(minutes=1))
    taken = site.push(thief.secret, [_forged(thief, record) for one in late for record in one.records])
    site.at(moment_of(DAYS) + timedelta(minutes=2))
    answers = [answer for one in late for answer in site.push(one.secret, one.records)]
    return Claim([a["status"] for a in taken], [a["status"] for a in answers], _lost(site, late))


def _forged(thief: Person, record: Json) -> Json:
    """Another person's test, with the thief's tube and a higher line."""
    runs = [{**run, "line": run["line"] + 3} for run in record["runs"]]
    return {**record, "tube": thief.tube, "runs": runs, "content": min(record["content"] + 6, 97)}


def _lost(site: Site, sendings: list[Sending]) -> int:
    there = {change["id"]: change["record"] for change in site.settled()}
    sent = [record for one in sendings for record in one.records]
    return sum(not _same(there.get(record["id"]), record) for record in sent)


def _same(there: Json | None, record: Json) -> bool:
    return bool(there and [run["line"] for run in there["runs"]] == [run["line"] for run in record["runs"]])


def claims(bench: Bench) -> Iterator[str]:
    """Yield the outcome of claimed ids."""
    with bench.restored() as site:
        yield f"A8 ids claimed after an older backup: {claimed(bench.world, site)}"
