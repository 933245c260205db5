"""Properties of a source's figures for any visits."""

from dataclasses import astuple
from math import isfinite

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitline.statistics.steadiness import NEXT_FILL_AT, Observed, estimate, estimates, probability_at_least
from splitline.statistics.visits import Visit, columns_of, visits_of, weights_of

contents = st.floats(0, 100)


def visits(many: list[float], own: float = 0.9) -> list[Visit]:
    return [Visit(7.0 * week, content, own, 0.4, "ab"[week % 2]) for week, content in enumerate(many)]


def flat(values: object) -> list[float]:
    return [number for v in values for number in (flat(v) if isinstance(v, tuple) else [v])]  # type: ignore[attr-defined]


@settings(max_examples=60)
@given(st.lists(contents, min_size=1, max_size=30), st.floats(0.1, 5))
def test_every_figure_is_finite_and_in_order(many, own):
    found = estimate(visits(many, own), 0.0)
    assert all(isfinite(number) for number in flat(astuple(found)))
    assert found.tau_interval[0] <= found.tau <= found.tau_interval[1]
    assert found.tau_interval[0] <= found.tau_bound <= found.tau_interval[1]
    assert found.typical_interval[0] < found.typical < found.typical_interval[1]
    assert list(found.next_fill_quantiles) == sorted(found.next_fill_quantiles)
    assert min(many) - 60 < found.floor < found.next_fill[1] < max(many) + 60


def test_hundreds_of_visits_stay_finite():
    """The weight of an unlikely scatter underflows to zero and must not be divided by."""
    found = estimate(visits([84 + (k % 21) / 10 for k in range(300)]), 0.0)
    assert found.floor == pytest.approx(84, abs=1.5)
    assert found.next_fill[1] == pytest.approx(86, abs=1.5)


@settings(max_examples=30)
@given(st.lists(st.lists(contents, min_size=1, max_size=30), min_size=1, max_size=25))
def test_sources_estimated_together_have_the_same_figures_as_alone(sources):
    together = estimates([Observed(columns_of(visits(many))) for many in sources], 0.0)
    assert together == [estimate(visits(many), 0.0) for many in sources]


@settings(max_examples=30)
@given(st.lists(contents, min_size=1, max_size=12), st.floats(-20, 20))
def test_shifting_all_readings_shifts_the_level_and_keeps_the_scatter(many, shift):
    found, moved = estimate(visits(many), 0.0), estimate(visits([c + shift for c in many]), 0.0)
    assert moved.typical - found.typical == pytest.approx(shift, abs=1e-6)
    assert moved.tau == pytest.approx(found.tau, rel=1e-6)
    assert moved.floor - found.floor == pytest.approx(shift, abs=1e-5)


def test_scatter_beyond_the_noise_is_detected_and_noise_alone_is_not():
    steady = estimate(visits([75, 75.6, 74.3, 75.2, 74.8, 75.5, 74.6, 75.1]), 0.0)
    wandering = estimate(visits([75, 82, 68, 77, 71, 80, 66, 79]), 0.0)
    assert steady.tau_bound < 1.5 < wandering.tau_interval[0]


def test_one_gross_error_does_not_move_a_source():
    clean = [75 + (k % 5) / 5 for k in range(15)]
    found, spoilt = estimate(visits(clean), 0.0), estimate(visits([*clean[:7], 30.0, *clean[8:]]), 0.0)
    assert abs(spoilt.typical - found.typical) < 0.5


def test_little_evidence_ranks_below_much():
    one, many = estimate(visits([75.0]), 0.0), estimate(visits([75.0] * 12), 0.0)
    assert one.tau_bound > many.tau_bound
    assert one.evidence == 0
    assert many.evidence == 3


@given(st.floats(0, 100))
def test_probability_falls_with_the_minimum(minimum):
    quantiles = estimate(visits([75, 76, 74, 77]), 0.0).next_fill_quantiles
    found = probability_at_least(quantiles, minimum)
    assert NEXT_FILL_AT[0] - 1e-9 <= found <= NEXT_FILL_AT[-1] + 1e-9
    assert probability_at_least(quantiles, minimum + 1) <= found


def test_one_person_within_half_an_hour_is_one_visit():
    readings = [Visit(1.0, 74.0, 0.9, 0.4, "a"), Visit(1.01, 76.0, 0.9, 0.4, "a"), Visit(1.01, 80.0, 0.9, 0.4, "b")]
    first, second = visits_of(readings)
    assert (first.content, second.content) == (75.0, 80.0)
    assert first.own_uncertainty == pytest.approx(0.9 / 2**0.5)
    assert first.shared_uncertainty == pytest.approx(0.4)


people = st.lists(st.sampled_from("abcde"), min_size=1, max_size=40)


@given(people, st.integers(0, 2**32 - 1))
def test_nobody_of_four_or_more_people_holds_more_than_a_third(who: list[str], seed: int):
    days = np.sort(np.random.default_rng(seed).uniform(0, 300, len(who)))
    told = [Visit(float(day), 75.0, 0.9, 0.4, one) for day, one in zip(days, who, strict=True)]
    weights = weights_of(told)
    assert min(weights) > 0
    assert sum(weights) <= len(who) + 1e-9
    held = {one: sum(w for v, w in zip(told, weights, strict=True) if v.contributor == one) for one in set(who)}
    most = {1: 1.0, 2: 1 / 2, 3: 1 / 2}.get(len(held), 1 / 3)
    assert max(held.values()) <= most * sum(weights) + 1e-12


def source_of(seed: int) -> tuple[list[Visit], str]:
    """A source with four to seven people, some of whom come often; and the most frequent one."""
    random = np.random.default_rng(seed)
    several = int(random.integers(4, 8))
    shares = random.dirichlet(np.full(several, 0.5))
    who = [*range(several), *random.choice(several, size=int(random.integers(0, 20)), p=shares)]
    tau = float(np.exp(random.normal(0.4, 0.7)))
    told = [
        Visit(
            float(random.uniform(0, 700)), 76 + float(random.normal(0, tau) + random.normal(0, 0.9)), 0.9, 0.4, str(n)
        )
        for n in who
    ]
    return sorted(told), str(max(who, key=who.count))


def moved_by(told: list[Visit], who: str, error: float) -> float:
    """How far a source moves if one person reads this much too high."""
    wrong = [v._replace(content=v.content + error) if v.contributor == who else v for v in told]
    return abs(estimate(wrong, 0.0).typical - estimate(told, 0.0).typical)


@pytest.mark.parametrize("error", [-30.0, -10.0, -4.0, 4.0, 10.0, 30.0])
def test_one_of_four_or_more_people_moves_a_source_by_about_a_third_of_their_error(error: float):
    """The weights keep to a third; more happens if the error makes another visit look wrong or right.

    A fixed set of sources: rare ones move further (0.85 points beyond the third, one in some thousands), so other seeds
    would sometimes fail.
    """
    assert max(moved_by(*source_of(seed), error) for seed in range(120)) <= abs(error) / 3 + 0.6


def test_hardly_any_source_moves_by_more_than_a_third_of_a_large_error():
    for error in (4.0, 10.0, 30.0):
        moved = [moved_by(*source_of(seed), error) / error for seed in range(150)]
        assert np.quantile(moved, 0.9) <= 0.35
