"""Coverage factors against the GUM's own worked example and against scipy."""

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from splitline.chemistry.combined import CRITICAL_RANGE
from splitline.chemistry.coverage import (
    NORMAL,
    RECTANGULAR,
    TRIANGULAR,
    coverage_factor,
    shape_factor,
    student_factor,
)


def test_welch_satterthwaite_example_of_the_gum():
    """JCGM 100:2008, G.4.1, example: 0.25, 0.57 and 0.82 % with 9, 4 and 14 degrees of freedom.

    Printed: u = 1.03 %, 19 effective degrees of freedom, U95 = 2.2 % (t = 2.09).
    """
    parts, freedom = np.array([0.25, 0.57, 0.82]), np.array([9, 4, 14])
    combined = np.linalg.norm(parts)
    assert combined == pytest.approx(1.03, abs=0.005)
    assert coverage_factor(parts, freedom=freedom) == pytest.approx(2.09, abs=0.005)
    assert round(coverage_factor(parts, freedom=freedom) * combined, 1) == 2.2


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 8, 12, 20, 22, 33, 70, 200])
def test_students_t_agrees_with_scipy(freedom: float):
    """scipy.stats.t; the table has three digits, and is interpolated."""
    assert student_factor(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=4e-3)


def test_exact_shapes_have_their_closed_form_factors():
    """95 % of a rectangular, a triangular and a normal distribution of unit variance (closed forms)."""
    assert shape_factor(RECTANGULAR) == pytest.approx(0.95 * sqrt(3), abs=1e-5)
    assert shape_factor(TRIANGULAR) == pytest.approx((1 - sqrt(0.05)) * sqrt(6), abs=1e-5)
    assert shape_factor(0.0) == pytest.approx(stats.norm.ppf(0.975), abs=1e-5)


@pytest.mark.parametrize("ratio", [0.1, 0.2, 0.4, 0.6, 0.8, 1.0])
def test_two_rectangular_parts_are_trapezoidal(ratio: float):
    """The sum of two rectangular values is trapezoidal: its 95 % half-width in closed form (scipy.stats.trapezoid)."""
    top = (1 - ratio) / (1 + ratio)
    exact = stats.trapezoid(c=(1 - top) / 2, d=(1 + top) / 2, loc=-(1 + ratio), scale=2 * (1 + ratio)).ppf(0.975)
    parts = np.array([1 / sqrt(3), ratio / sqrt(3)])
    assert coverage_factor(parts, RECTANGULAR) * np.linalg.norm(parts) == pytest.approx(exact, rel=0.02)


def test_without_parts_the_factor_is_the_normal_one():
    assert coverage_factor(np.array([])) == NORMAL
    assert coverage_factor(np.array([0.0])) == NORMAL


@pytest.mark.parametrize("points", [0.8, 0.9, 0.97, 1.0])
def test_two_points_with_noise_agree_with_scipy(points: float):
    """Half of the draws about one point, half about the other: scipy's normal distribution on both sides."""
    half, noise = sqrt(points), sqrt(max(1 - points, 1e-12))
    found = shape_factor(-2.0 * points**2)
    inside = stats.norm.cdf((found - half) / noise) - stats.norm.cdf((-found - half) / noise)
    assert inside == pytest.approx(0.95, abs=0.005) or points == found == 1.0


@pytest.mark.parametrize("runs", range(2, 10))
def test_the_critical_range_agrees_with_scipy(runs: int):
    """ISO 5725-6 prints the 95 % quantile of the studentised range, for a known deviation, to one decimal."""
    assert CRITICAL_RANGE[runs] == pytest.approx(stats.studentized_range.ppf(0.95, runs, 1e6), abs=0.055)
