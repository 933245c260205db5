"""Coverage factors against the GUM's own worked example and against scipy."""

from math import inf, sqrt

import pytest
from scipy import stats

from splitline.chemistry.coverage import (
    NORMAL,
    RECTANGULAR,
    TRIANGULAR,
    Part,
    coverage_factor,
    shape_factor,
    student_factor,
)


def test_welch_satterthwaite_example_of_the_gum():
    """JCGM 100:2008, G.4.1, example: 0.25, 0.57 and 0.82 % with 9, 4 and 14 degrees of freedom.

    Printed: u = 1.03 %, 19 effective degrees of freedom, U95 = 2.2 % (t = 2.09).
    """
    parts = [Part(0.25, freedom=9), Part(0.57, freedom=4), Part(0.82, freedom=14)]
    combined = sqrt(sum(part.uncertainty**2 for part in parts))
    assert combined == pytest.approx(1.03, abs=0.005)
    assert coverage_factor(parts) == pytest.approx(2.09, abs=0.005)
    assert round(coverage_factor(parts) * combined, 1) == 2.2


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 8, 12, 20, 22, 33, 70, 200])
def test_students_t(freedom: float):
    """scipy.stats.t; the table has three digits, and is interpolated."""
    assert student_factor(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=4e-3)


def test_exact_shapes():
    """95 % of a rectangular, a triangular and a normal distribution of unit variance (closed forms)."""
    assert shape_factor(RECTANGULAR) == pytest.approx(0.95 * sqrt(3), abs=1e-5)
    assert shape_factor(TRIANGULAR) == pytest.approx((1 - sqrt(0.05)) * sqrt(6), abs=1e-5)
    assert shape_factor(0.0) == pytest.approx(stats.norm.ppf(0.975), abs=1e-5)


@pytest.mark.parametrize("ratio", [0.1, 0.2, 0.4, 0.6, 0.8, 1.0])
def test_two_rectangular_parts(ratio: float):
    """The sum of two rectangular values is trapezoidal: its 95 % half-width in closed form (scipy.stats.trapezoid)."""
    top = (1 - ratio) / (1 + ratio)
    exact = stats.trapezoid(c=(1 - top) / 2, d=(1 + top) / 2, loc=-(1 + ratio), scale=2 * (1 + ratio)).ppf(0.975)
    parts = [Part(1 / sqrt(3), RECTANGULAR), Part(ratio / sqrt(3), RECTANGULAR)]
    combined = sqrt(sum(part.uncertainty**2 for part in parts))
    assert coverage_factor(parts) * combined == pytest.approx(exact, rel=0.02)


def test_no_parts_give_the_normal_factor():
    assert coverage_factor([]) == NORMAL
    assert coverage_factor([Part(0.0, freedom=inf)]) == NORMAL
