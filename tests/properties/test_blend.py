"""Properties of blends of any fuels."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from splitline.chemistry.blend import Part, fill, heel, mix, reach

parts = st.builds(Part, st.floats(0.1, 100), st.floats(0, 100), st.floats(0.1, 5), st.floats(0, 1))


@given(st.lists(parts, min_size=1, max_size=6))
def test_a_blend_lies_between_its_parts(many):
    blend = mix(many)
    assert min(p.content for p in many) - 1e-9 <= blend.content <= max(p.content for p in many) + 1e-9
    assert blend.volume == pytest.approx(sum(p.volume for p in many))
    assert blend.expanded_uncertainty > 0


@given(parts, st.lists(parts, min_size=1, max_size=4), st.floats(0, 100), st.floats(5, 95))
def test_a_plan_reaches_its_target_with_what_is_available(tank, stocks, room, target):
    plan = reach(tank, room, target, stocks)
    assert all(0 <= a <= s.volume + 1e-9 for a, s in zip(plan.additions, stocks, strict=True))
    assert sum(plan.additions) <= room + 1e-9
    if plan.outcome == "reached":
        assert plan.blend.content == pytest.approx(target, abs=1e-6)
    if plan.outcome in ("not_enough_room", "not_enough_stock"):
        assert abs(plan.blend.content - target) <= abs(tank.content - target) + 1e-9


@given(parts, st.floats(1, 60), st.floats(5, 95), parts, parts)
def test_a_filled_tank_contains_the_addition(tank, addition, target, first, second):
    assume(abs(first.content - second.content) > 0.5)
    plan = fill(tank, addition, target, first, second)
    assert all(a >= -1e-9 for a in plan.additions)
    if plan.outcome == "reached":
        assert sum(plan.additions) == pytest.approx(addition)
        assert plan.blend.content == pytest.approx(target, abs=1e-6)


@given(parts, st.lists(parts, min_size=1, max_size=3))
def test_the_heel_is_the_content_before_filling(before, added):
    found = heel(mix([before, *added]), added)
    assert found.volume == pytest.approx(before.volume, rel=1e-9, abs=1e-9)
    assert found.content == pytest.approx(before.content, rel=1e-6, abs=1e-4)
