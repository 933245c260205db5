"""Strangers cannot move a figure at once: a small version of the attacks in `trust_study.py`, on a real server.

Five new secrets on one day, against an honest region after 300 days; each attack gets a copy of it.
"""

from collections.abc import Iterator

import pytest

from study_trust import owners
from study_trust.attacks import INVENTED, LIFT, LIFT_FAR, RECENT, SINK, SINK_FAR, Attackers, Target
from study_trust.bench import Bench
from study_trust.judge import Row, passed
from study_trust.newcomers import Newcomers
from study_trust.site import Site
from study_trust.study import FEW, SHORT, burst
from study_trust.world import DAYS, QUIET, STEP, World

SEED = 41


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """The honest region, and its state a month later without an attack."""
    made = Bench(World(SEED), tmp_path_factory.mktemp("region"))
    made.build()
    made.go_on([DAYS + SHORT])
    return made


@pytest.fixture(scope="module")
def site(bench: Bench) -> Iterator[Site]:
    """A server shared by tests that look at different stations."""
    with bench.copy() as running:
        yield running


def attacked(bench: Bench, target: Target, secrets: int, span: float) -> Iterator[Row]:
    """Judge a burst at once and after a month in which only honest people send."""
    return burst(bench, Attackers(bench.world, target, secrets), target.name, span)


def test_an_invented_station_has_no_evidence_and_ranks_low(bench: Bench) -> None:
    for row in attacked(bench, INVENTED, FEW, DAYS):
        assert row.evident >= 10
        assert row.after, row.when
        assert row.after.evidence == 0, row.when
        assert row.outranked == 0, row.when
        assert row.others <= 1, row.when


@pytest.mark.parametrize(
    ("target", "span"),
    [(LIFT, DAYS), (LIFT_FAR, RECENT), (SINK, DAYS), (SINK_FAR, RECENT)],
    ids=["lifted", "lifted far", "sunk", "sunk far"],
)
def test_an_established_station_moves_by_no_more_than_its_uncertainty(
    bench: Bench, target: Target, span: float
) -> None:
    for row in attacked(bench, target, FEW, span):
        assert row.before, row.when
        assert row.before.evidence >= 2
        assert abs(row.moved) <= 1, row.when
        assert row.others <= 1, row.when


def test_a_source_others_tested_cannot_be_moved(bench: Bench, site: Site) -> None:
    shared = [station for station in bench.world.stations if owners.people(bench, station) > 1]
    tries = [(station, owners.changes(station.record)[turn]) for turn, station in zip(range(5), shared, strict=False)]
    assert [change.allowed for _, change in tries] == [True, False, False, False, False]
    came: list[str] = []
    for station, change in tries:
        region = site.source(station.id)["region"]
        _, page = owners.tried(site, bench.world, station, change, 2)
        if not owners.kept(page, station.record, region):
            came.append(change.name)
        if change.allowed:
            assert page["latitude"] == change.fields["latitude"], change.name
    assert came == []


def test_a_source_only_its_creator_tested_can_be_renamed(bench: Bench, site: Site) -> None:
    alone = bench.world.stations[QUIET]
    assert owners.people(bench, alone) == 1
    _, page = owners.tried(site, bench.world, alone, owners.changes(alone.record)[-1], 2)
    assert page["name"] == "Pharmacy"


def test_claimed_ids_go_back_to_their_owners(bench: Bench) -> None:
    with bench.restored() as site:
        claim = owners.claimed(bench.world, site)
    assert len(claim.owners) > 20
    assert set(claim.owners) <= set(owners.TAKEN)
    assert claim.lost == 0


def test_an_honest_newcomers_report_shows_at_once(bench: Bench, site: Site) -> None:
    people = Newcomers(World(SEED, STEP), 1, elsewhere=True)
    week = list(people.week(DAYS))
    bench.attacked(site, week, DAYS + 1)
    records = [record for sending in week for record in sending.records]
    assert records
    for record in records:
        assert record["id"] in {test["id"] for test in site.source(record["source"])["tests"]}


def test_ranks_count_from_the_top(bench: Bench) -> None:
    """The measure of the attacks: the first by steadiness outranks everyone, the last nobody."""
    standings = list(bench.honest[DAYS, 70.0].values())
    by_tau = sorted(standings, key=lambda one: one.by_tau)
    assert [passed(one, standings)[0] for one in (by_tau[0], by_tau[-1])] == [len(standings) - 1, 0]
