"""Properties for any filling, any temperatures and any tubes of the runs."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from outside.tube_world import line
from splitline.chemistry.budget import Result, result
from splitline.chemistry.constants import load
from splitline.chemistry.freezing import freezing_point
from splitline.chemistry.measurement import Measurement, Run, Tube

TABLE = load("exchange")
# From 10 %: little ethanol in much water that cools after filling leaves the line below the water mark.
contents = st.floats(10, 94)
shares = st.floats(0.1, 0.5)
degrees = st.floats(0, 35)


def told(content: float, share: float) -> float:
    """The content the line gives by the table, %: linear between rows and columns."""
    rows = [np.interp(content, TABLE["contents_percent"], row) for row in TABLE["bias_points"]]
    return content + float(np.interp(share, TABLE["fuel_shares"], rows))


def filled(content: float, share: float, water_at: float, fuel_at: float, read: float) -> Measurement:
    water, fuel = 100.0 * (1.0 - share), 100.0 * share
    seen = float(line(told(content, share), water, fuel, (water_at, fuel_at, read), 0.5))
    return Measurement(Tube("volume", 0.5), (Run(water, fuel, seen),), read, True, 0.5, water_at, True, fuel_at, True)


def parts(found: Result, name: str) -> float:
    return sum(one.contribution for one in found.components if one.name == name)


@given(contents, shares, degrees, degrees, degrees)
def test_content_to_line_and_back(content: float, share: float, water_at: float, fuel_at: float, read: float):
    assert result(filled(content, share, water_at, fuel_at, read)).content == pytest.approx(content, abs=1e-6)


@given(contents, shares, degrees, degrees)
def test_a_missing_temperature_equals_the_other_one(content: float, share: float, at: float, read: float):
    both = filled(content, share, at, at, read)
    for one in ({"water_temperature": None}, {"fuel_temperature": None}):
        assert result(replace(both, **one)).content == result(both).content
    neither = replace(filled(content, share, read, read, read), water_temperature=None, fuel_temperature=None)
    assert result(neither).content == pytest.approx(content, abs=1e-6)
    assert {"water_temperature", "fuel_temperature"}.isdisjoint(one.name for one in result(neither).components)


@given(contents, shares, degrees)
def test_a_guessed_filling_temperature_is_never_more_certain_than_a_measured_one(
    content: float, share: float, at: float
):
    both = filled(content, share, at, at, at)
    for name in ("water_temperature", "fuel_temperature"):
        guessed = replace(both, **{f"{name}_measured": False})
        assert parts(result(guessed), name) > parts(result(both), name)
        assert result(guessed).expanded_uncertainty > result(both).expanded_uncertainty


@given(contents, shares, st.integers(1, 4))
def test_a_second_tube_reduces_tube_errors_and_a_second_run_does_not(content: float, share: float, each: int):
    """Mark errors repeat in all runs of one tube, not in another; fuel water and exchange never shrink."""
    one = filled(content, share, 20, 20, 20)
    tube, run = replace(one.tube, tolerance=0.5), one.runs[0]
    alone = result(replace(one, tube=tube))
    again = result(replace(one, tube=tube, runs=(run,) * each * 2))
    others = (replace(run, tube=replace(tube, tolerance=0.5 + 1e-9)),) * each
    apart = result(replace(one, tube=tube, runs=((run,) * each) + others))
    assert parts(again, "marks") == pytest.approx(parts(alone, "marks"))
    assert parts(apart, "marks") == pytest.approx(parts(alone, "marks") / sqrt(2), rel=1e-6)
    for name in ("fuel_water", "temperature", "exchange"):
        assert parts(apart, name) == pytest.approx(parts(alone, name))
    for name in ("water_fill", "fuel_fill", "line"):
        assert parts(again, name) == pytest.approx(parts(alone, name) / sqrt(2 * each))
    assert apart.expanded_uncertainty < again.expanded_uncertainty
    assert apart.content == pytest.approx(alone.content)


@given(contents, st.floats(-5, 5))
def test_each_tube_has_its_own_offset(content: float, offset: float):
    one = filled(content, 0.5, 20, 20, 20)
    off = replace(one.tube, offset=offset, offset_uncertainty=1.0, offset_content=content)
    run = one.runs[0]
    found = result(replace(one, runs=(run, replace(run, tube=off))))
    assert found.runs[1].content - found.runs[0].content == pytest.approx(offset)
    assert found.content == pytest.approx(content + offset / 2, abs=1e-6)
    assert parts(found, "tube_offset") == pytest.approx(1.0 / 1.959964 / 2)


@given(contents, shares, st.floats(-20, 35))
def test_ice_is_flagged_exactly_where_the_layer_would_freeze(content: float, share: float, read: float):
    """Two degrees of tolerance for thermometer and table; above -2 degrees no lower layer freezes."""
    found = result(filled(content, share, 10, 10, read))
    frozen = "would_freeze" in found.warnings
    ethanol = found.content * share * 0.789
    strength = ethanol / (ethanol + 100 * (1 - share) * 0.998 + 0.5 * share)
    below = float(freezing_point(np.array(strength))) - 2.0 - read
    if abs(below) > 0.5:
        assert frozen == (below > 0)
    assert not (frozen and read > -2.0)
