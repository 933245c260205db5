"""The tube's equation against printed experiments and the Brazilian standard."""

import pytest

from helpers.published import published
from outside.tube_world import content_of
from splitline.chemistry.density import density
from splitline.chemistry.extraction import Filling, Temperatures, brine_content, line_of_content
from splitline.chemistry.measurement import USUAL_FUEL_WATER

MOLAR_MASS = {"ethanol": 46.069, "water": 18.01528}


def excess_volume(mole_fraction: float, temperature: float) -> float:
    """Return the excess molar volume in cm3/mol that our density formula gives."""
    ethanol, water = mole_fraction * MOLAR_MASS["ethanol"], (1 - mole_fraction) * MOLAR_MASS["water"]
    mixed = (ethanol + water) / density(ethanol / (ethanol + water), temperature)
    return 1000 * (mixed - ethanol / density(1, temperature) - water / density(0, temperature))


@pytest.mark.parametrize("temperature", [5, 15, 25, 35])
def test_shrinkage_agrees_with_marsh_and_richards(temperature: float):
    """Marsh and Richards, Aust. J. Chem. 33 (1980) 2121: -0.42 cm3/mol at x = 0.082 from 5 to 65 C."""
    assert excess_volume(0.082, temperature) == pytest.approx(-0.42, abs=0.005)


def test_fifty_and_fifty_shrink_to_about_96():
    """Luxembourg online chemistry course: 50 mL ethanol + 50 mL water give 96 mL, temperature not stated, +- 0.5."""
    printed = published("mixing")["published"][0]["volume_after_ml"]
    assert line_of_content(100, 50, 50, 20, 0) == pytest.approx(printed, abs=0.5)


def test_an_uncorrected_reading_is_six_points_low():
    """The error this program corrects: 85 % fuel, 50 mL + 50 mL, read without the shrinkage (by hand)."""
    as_read = 100 * (line_of_content(85, 50, 50, 20, 0) - 50) / 50
    assert as_read == pytest.approx(78.6, abs=0.06)


@pytest.mark.parametrize("at", [(12.0, 12.0, 12.0), (8.0, 15.0, 21.0), (31.0, 4.0, 30.0)])
def test_the_equation_is_solved_as_scipy_solves_it(at: tuple[float, float, float]):
    """scipy.optimize.brentq on the equation of measurement.md, written out separately (`tube_world`)."""
    filling = Filling.of(50.0, 45.0, Temperatures(*at), 0.6)
    for reading in (60.0, 75.0, 88.0):
        assert filling.contents(reading) == pytest.approx(content_of(reading, 50.0, 45.0, at, 0.6), rel=1e-10)


@pytest.mark.parametrize("example", published("extraction")["worked_examples"])
def test_brine_agrees_with_printed_examples(example):
    """ABNT NBR 13992:1997 and ANP Resolution 9 of 2007, as printed in public-examination questions."""
    value = example["value"]
    line = value.get("aqueous_ml", 50 + value.get("aqueous_increase_ml", 0))
    assert brine_content(line, 50, 50) == pytest.approx(value["ethanol_vol_percent"])


def test_brine_below_one_percent_is_reported_as_one():
    """ABNT NBR 13992:1997, 6.2: a rise below 0.5 mL is reported as 1 vol %."""
    assert brine_content(50.4, 50, 50) == 1.0
    assert brine_content(50.5, 50, 50) == pytest.approx(2.0)


@pytest.mark.parametrize("content", [1, 5, 10, 15, 20, 25, 30])
def test_water_model_and_brine_standard_agree_from_one_to_thirty_percent(content: float):
    """ABNT NBR 13992's formula is within 1.5 points of the water model over E1..E30, with the usual fuel water."""
    line = line_of_content(content, 50, 50, 20, USUAL_FUEL_WATER)
    assert brine_content(line, 50, 50) == pytest.approx(content, abs=1.5)
