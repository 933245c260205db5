"""Influence is earned: strangers' readings move little, and nobody stays a stranger forever."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitline.figures.priors import weighed
from splitline.statistics.influence import LONG_ENOUGH, OFTEN_ENOUGH, STEPS, STRANGER, Activity, weights_of
from splitline.statistics.priors import Priors, figures_of
from splitline.statistics.steadiness import estimate
from splitline.statistics.visits import ESTABLISHED, LIGHT_SHARE, Visit, columns_of
from splitline.statistics.visits import weights_of as weights_at

KNOWN = Activity(20000, 20300, 40, 1)


def visit(day: float, content: float, who: str, weight: float = 1.0) -> Visit:
    return Visit(day, content, 0.7, 0.4, who, who, weight)


def honest(seed: int, level: float, scatter: float, people: int = 2, count: int = 24) -> list[Visit]:
    drawn = np.random.default_rng(seed)
    return [
        visit(20000.0 + 12 * k, level + drawn.normal(0, np.hypot(scatter, 0.7)), f"known{k % people}")
        for k in range(count)
    ]


def strangers(many: int, content: float, days: list[float]) -> list[Visit]:
    return [visit(day + k / 100, content, f"new{k}") for k in range(many) for day in days]


def figures(visits: list[Visit]):
    visits = sorted(visits)
    activity = {one.contributor: KNOWN for one in visits if one.contributor.startswith("known")}
    elsewhere = [visit(one.sampled_at, one.content, one.contributor) for one in visits if one.contributor in activity]
    weights = weights_of({"here": visits, "elsewhere": elsewhere}, activity)
    return figures_of(weighed(visits, weights), Priors(), 20300.0), weights


@settings(max_examples=40)
@given(
    seed=st.integers(0, 10_000),
    many=st.integers(1, 5),
    off=st.floats(-45, 25),
    scatter=st.floats(0.3, 4),
    days=st.lists(st.floats(20000, 20290), min_size=1, max_size=20),
)
def test_five_strangers_move_no_established_source_by_more_than_its_uncertainty(seed, many, off, scatter, days):
    known = honest(seed, 72.0, scatter)
    before, _ = figures(known)
    after, weights = figures([*known, *strangers(many, 72.0 + off, days)])
    low, high = before.estimate.typical_interval
    assert low < after.estimate.typical < high
    assert before.estimate.floor - 2 < after.estimate.floor < before.estimate.floor + 2
    assert after.estimate.established == 2
    assert all(weight <= STRANGER for who, weight in weights.items() if who.startswith("new"))


@given(st.lists(st.tuples(st.floats(20000, 20290), st.floats(40, 98)), min_size=1, max_size=40), st.integers(1, 9))
def test_strangers_alone_give_no_evidence(readings, many):
    visits = [visit(day, content, f"new{k % many}") for k, (day, content) in enumerate(readings)]
    found, _ = figures(visits)
    assert (found.estimate.evidence, found.estimate.established) == (0, 0)


def test_strangers_with_uncertain_readings_leave_the_scatter_of_a_steady_source_alone():
    known = honest(7, 72.0, 0.9)
    unsure = [one._replace(own_uncertainty=10.0) for one in strangers(5, 72.0, [20000.0 + 25 * k for k in range(12)])]
    before, _ = figures(known)
    after, _ = figures([*known, *unsure])
    assert after.estimate.tau == pytest.approx(before.estimate.tau, rel=0.1)


def test_what_strangers_tubes_share_does_not_widen_a_known_level():
    """A tube that disagrees with a known level by 20 points is uncertain by as much."""
    known = honest(7, 72.0, 1.0)
    wrong = strangers(5, 52.0, [20000.0 + 25 * k for k in range(12)])
    before, _ = figures(known)
    after, _ = figures([*known, *(one._replace(shared_uncertainty=20.0) for one in wrong)])
    (low, high), (new_low, new_high) = before.estimate.typical_interval, after.estimate.typical_interval
    assert new_high - new_low < 1.2 * (high - low)


@settings(max_examples=40)
@given(st.lists(st.floats(0.001, 1), min_size=1, max_size=30), st.integers(1, 6))
def test_low_weight_contributors_hold_at_most_a_twentieth(weights, people):
    visits = [visit(20000.0 + 5 * k, 70.0, f"p{k % people}{weight}", weight) for k, weight in enumerate(weights)]
    counted = weights_at(visits)
    light = sum(weight for weight, heavy in zip(counted, columns_of(visits).heavy, strict=True) if not heavy)
    assert light <= LIGHT_SHARE * sum(counted) * (1 + 1e-9)


def test_among_strangers_only_all_count_equally():
    """A new region has figures from the first day, only without evidence yet."""
    visits = [visit(20000.0 + 9 * k, 70.0 + k % 3, "ab"[k % 2]) for k in range(12)]
    alike = [one._replace(weight=STRANGER) for one in visits]
    assert estimate(alike, 20100.0).typical == pytest.approx(estimate(visits, 20100.0).typical, abs=1e-9)
    assert estimate(alike, 20100.0).evidence == 0


def weight(activity: Activity | None, off: float = 0.0, sources: int = 2) -> float:
    """The weight of a person who is `off` points from two established people at this many sources."""
    by_source = {
        f"s{n}": [
            visit(20000.0 + 7 * k, 72.0 + (off if who == "new" else 0.0), who)
            for k in range(6)
            for who in ("known0", "known1", "new")
        ]
        for n in range(2)
    }
    if sources == 1:
        by_source["s1"] = [one for one in by_source["s1"] if one.contributor != "new"]
    activities = {"known0": KNOWN, "known1": KNOWN} | ({"new": activity} if activity else {})
    return weights_of(by_source, activities)["new"]


def test_an_honest_newcomer_is_established_after_four_weeks():
    """A person who reports once a week: their weight after each report received."""
    grown = [weight(Activity(20000, 20000 + 7 * week, week + 1)) for week in range(5)]
    assert grown == sorted(grown)
    assert grown[0] == STRANGER
    assert grown[3] >= ESTABLISHED
    assert grown[4] == 1.0


def test_standing_grows_by_date_of_receipt_over_several_days():
    assert weight(Activity(20000, 20000 + int(LONG_ENOUGH), int(OFTEN_ENOUGH))) == 1.0
    assert weight(Activity(20000, 20000, 1)) == STRANGER, "a burst on one day, whatever dates it claims"
    assert weight(Activity(20000, 20000 + 300, 2)) <= ESTABLISHED


def test_reporting_one_source_only_or_disagreeing_earns_no_standing():
    long = Activity(20000, 20200, 30)
    assert weight(long, sources=1) < ESTABLISHED
    assert weight(long, sources=2) == 1.0
    assert weight(long, off=10.0) <= 0.25
    assert weight(long, off=2.0) == 1.0, "a tube's usual error is tolerated"
    assert weight(Activity(20000, 20200, 30, regions=2), sources=1) == 1.0, "their other source is in another region"


def test_weights_are_published_in_steps():
    assert {weight(Activity(20000, 20000 + day, 1 + day // 3)) for day in range(40)} <= set(STEPS)
