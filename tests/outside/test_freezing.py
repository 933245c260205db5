"""Freezing points against the law of dilute solutions."""

import numpy as np
import pytest

from splitline.chemistry.freezing import freezes, freezing_point

# Of water, K kg/mol; of ethanol, kg/mol (CODATA masses; the constant is in every handbook of chemistry).
CRYOSCOPIC, MOLAR_MASS = 1.86, 0.046069


@pytest.mark.parametrize("percent", [0, 1, 2, 4, 6, 8, 10])
def test_below_ten_percent_dilute_solution_theory_holds(percent: float):
    """Blagden and Raoult: 1.86 K kg/mol times the molality, within 0.2 K up to 10 % by mass."""
    molality = percent / (100 - percent) / MOLAR_MASS
    assert freezing_point(np.array(percent / 100)) == pytest.approx(-CRYOSCOPIC * molality, abs=0.2)


def test_the_freezing_point_falls_with_strength():
    assert np.all(np.diff(freezing_point(np.linspace(0, 0.3, 61))) < 0)


def test_tube_contents_are_liquid_at_usual_temperatures():
    """85 % in as much water: 40 % by mass, liquid at -20 degrees; 10 %: 4 % by mass, ice there, water at 0."""
    strength, temperature = np.array([0.40, 0.04, 0.04]), np.array([-20.0, -20.0, 0.0])
    assert freezes(strength, temperature).tolist() == [False, True, False]
