"""The steadiness study's simulation is as stated, and the study runs. Means of many draws, fixed seeds."""

from dataclasses import replace
from datetime import UTC, datetime
from math import isfinite

import numpy as np
import pytest

import steadiness_study
from study import tank, world
from study.cells import CELLS
from study.judged import Published
from study.score import score, unit

SEED = 11


def moment(month: int, day: int, year: int = 2027) -> float:
    return datetime(year, month, day, tzinfo=UTC).timestamp() / 86400


@pytest.mark.parametrize("name", world.SCATTERS)
def test_scatter_has_mean_0_and_standard_deviation_1(name: str):
    random = np.random.default_rng(SEED)
    drawn = np.array([world.SCATTERS[name](random) for _ in range(40_000)])
    assert drawn.mean() == pytest.approx(0.0, abs=0.02)
    assert drawn.std() == pytest.approx(1.0, abs=0.03)


def test_scatter_has_the_named_tails():
    random = np.random.default_rng(SEED)
    beyond = {name: np.mean([abs(draw(random)) > 2.5 for _ in range(20_000)]) for name, draw in world.SCATTERS.items()}
    assert beyond["light"] == 0.0
    assert 0.0 < beyond["normal"] < 0.02 < beyond["heavy"]


def test_seasons_follow_the_calendar():
    def at(name: str, month: int, day: int) -> float:
        return float(world.season_at(name, moment(month, day)))

    assert at("none", 1, 15) == at("none", 7, 15) == 0.0
    assert (at("cosine", 1, 15), at("cosine", 7, 16)) == pytest.approx((-4.0, 4.0), abs=0.01)
    assert [at("ramps", month, 10) for month in (1, 6, 8, 12)] == [-4.0, 4.0, 4.0, -4.0]
    assert at("ramps", 4, 16) == pytest.approx(0.0, abs=0.3)
    assert at("autumn", 9, 10) - at("autumn", 11, 20) == 8.0
    assert at("autumn", 6, 1) == 0.0


@pytest.mark.parametrize("heel", [(0.05, 0.2), (0.2, 0.5), (0.0, 0.0)])
def test_deliveries_and_tanks_have_the_stated_scatter(heel: tuple[float, float]):
    """Deliveries scatter by tau around level and season, tanks by `tank_tau`; gaps are within their range."""
    random, tau = np.random.default_rng(SEED), 1.7
    held: list[float] = []

    def delivered(day: float) -> float:
        held.append(70.0 + tau * random.normal())
        return held[-1]

    days, tanks = tank.tank_of(random, (2.0, 20.0), heel, 0.0, 1e5, delivered)
    assert len(held) == len(tanks)
    assert np.std(held) == pytest.approx(tau, rel=0.03)
    assert np.std(tanks[10:]) == pytest.approx(tau * tank.left_by(heel), rel=0.03)
    assert 2.0 <= np.diff(days).min() < 2.1 < 19.9 < np.diff(days).max() <= 20.0


def test_tank_contents_lag_behind_the_season():
    """Without scatter, the mean of many tanks at one time is the mean of their deliveries, weighted by share."""
    gaps, heel, slope = (2.0, 20.0), (0.2, 0.5), 0.05
    random = np.random.default_rng(SEED)
    days, tanks = tank.tank_of(random, gaps, heel, 0.0, 2e5, lambda day: slope * day)
    moments = random.uniform(1000, 2e5, 50_000)
    behind = moments - tanks[np.searchsorted(days, moments, side="right") - 1] / slope
    assert (tank.ages(random, gaps, 50_000) @ tank.parts(heel)).mean() == pytest.approx(behind.mean(), rel=0.02)


def exact(kind: world.World) -> world.World:
    """The same without uncertainty: every test reads the level of its day."""
    return replace(kind, taus=(1e-9, 2e-9), offset=0.0, heel=(0.0, 0.0))


def test_readings_are_the_level_of_their_delivery_and_noise():
    """Noise is 0.4 to 1.2, stated by each test; the step applies from its day on and is in the truth."""
    kind = exact(world.World(season="none", step=5.0, every=3, gaps=(0.5, 1.0), sources=12))
    sources = world.region(np.random.default_rng(SEED), kind).sources.values()
    assert any(source.step for source in sources)
    for source in sources:
        left = np.array([(r.content - source.level) / r.own for r in source.readings if not before(r, source)])
        moved = [r.content - source.level for r in source.readings if before(r, source)]
        assert abs(left.mean()) < 0.4
        assert left.std() == pytest.approx(1.0, abs=0.35)
        assert all(0.4 <= r.own <= 1.2 for r in source.readings)
        assert source.next_fill == pytest.approx(source.level)
        if source.step:
            assert np.mean(moved) == pytest.approx(-source.step.size, abs=0.5)


def before(reading: world.Reading, source: world.Source) -> bool:
    return source.step is not None and reading.day < source.step.day + 1.0


def test_the_season_of_readings_adds_up():
    """A reading minus level and season is noise: the parts add up on the right day of the year."""
    kind = exact(world.World(season="ramps", visits=(60, 60), gaps=(0.5, 1.0), sources=12))
    drawn = world.region(np.random.default_rng(SEED), kind)
    for source in drawn.sources.values():
        level = source.level - world.season_at("ramps", drawn.day)
        left = [r.content - level - float(world.season_at("ramps", r.day)) for r in source.readings]
        assert abs(np.mean(left)) < 0.5
        assert np.std(left) < 1.5


def test_each_tube_has_a_constant_offset():
    kind = replace(exact(world.World(season="none", every=2, people=(3, 3))), offset=30.0)
    by_tube: dict[str, list[float]] = {}
    for source in world.region(np.random.default_rng(SEED), kind).sources.values():
        for reading in source.readings:
            by_tube.setdefault(reading.tube, []).append(reading.content - source.level)
    assert np.std([np.mean(off) for off in by_tube.values()]) == pytest.approx(30.0, rel=0.4)
    assert max(np.std(off) for off in by_tube.values()) < 1.5


@pytest.mark.parametrize("share", [0.0, 0.05, 0.1])
def test_gross_errors_have_the_stated_rate_and_size(share: float):
    kind = replace(exact(world.World(season="none", every=2, sources=20)), gross=share)
    drawn = world.region(np.random.default_rng(SEED), kind)
    off = np.array([abs(r.content - s.level) for s in drawn.sources.values() for r in s.readings])
    # 3 to 8 points may hide in noise, and swapped digits may be equal.
    assert 0.75 * share - 0.002 <= np.mean(off > 4.5) <= share + 0.002
    assert (np.mean(off > 50) > 0.0) == (share > 0.0)


@pytest.mark.parametrize("name", CELLS)
def test_a_cell_draws_what_it_states(name: str):
    """The requested numbers of stations, days and people; unstated offsets come without a tube."""
    kind = CELLS[name]
    drawn = world.region(np.random.default_rng(SEED), kind)
    assert len(drawn.sources) == kind.sources
    for source in drawn.sources.values():
        assert all(drawn.day - kind.days <= r.day <= drawn.day for r in source.readings)
        assert kind.every or kind.visits[0] <= len(source.readings) <= kind.visits[1]
        assert 1 <= len({r.contributor for r in source.readings}) <= kind.people[1]
        assert all(
            (r.shared, bool(r.tube)) == ((kind.offset, True) if kind.stated else (None, False)) for r in source.readings
        )


def oracle(source: world.Source, half: float) -> Published:
    """Figures that know the truth, with intervals of any half-width."""
    changes = [(source.step.day + 20.0, source.step.size > 0)] if source.step else []
    level, tau, fill = source.level, source.tau, source.next_fill
    around = [(value - half, value + half) for value in (level, tau, fill)]
    return Published(
        typical=level,
        typical_interval=around[0],
        tau=tau,
        tau_interval=around[1],
        next_fill=around[2],
        floor=fill - half,
        ranked_by=tau,
        probability=lambda minimum: float(fill >= minimum),
        changes=changes,
    )


def test_perfect_knowledge_scores_full_and_wrong_figures_score_nothing():
    kind = CELLS["step-weekly"]
    sources = list(world.region(np.random.default_rng(SEED), kind).sources.values())
    right = score(kind, [(source, oracle(source, 0.01)) for source in sources])
    assert {right.holds[name] for name in ("typical", "next_fill", "floor", "tau")} == {1.0}
    assert (right.rank, right.off, right.stated, right.met, right.found, right.false) == pytest.approx(
        (1, 0, 1, 1, 1, 0)
    )
    assert right.width["tau"] == pytest.approx(0.02)
    turned = [(source, oracle(other, 0.01)) for source, other in zip(sources, sources[1:] + sources[:1], strict=True)]
    wrong = score(kind, turned)
    assert max(wrong.holds[name] for name in ("typical", "next_fill", "tau")) < 0.1
    assert wrong.found == 0.0
    assert wrong.false == pytest.approx(0.2 / (kind.days / world.YEAR))


def test_the_study_prints_one_line_per_cell_and_is_repeatable():
    found = steadiness_study.run(["few", "region-3"], 1, SEED, processes=1)
    lines = steadiness_study.table(found).splitlines()
    assert [line.split()[0] for line in lines[1:]] == ["few", "region-3"]
    assert {len(line) for line in lines} == {len(lines[0])}
    assert all(isfinite(found["few"][key]) for key, _ in steadiness_study.COLUMNS if key != "found")
    again = unit(CELLS["few"], "few", SEED, 0)
    assert again.holds["tau"] == found["few"]["tau"]
