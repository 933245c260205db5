"""Engine figures against printed and recomputed values for ethanol, gasoline and their blends."""

import pytest

from helpers.published import published
from splitline.chemistry import fuels

PRINTED = published("fuels")


@pytest.mark.parametrize("name", ["E10", "E30", "E51", "E70", "E83", "E85"])
def test_the_stoichiometric_ratio_of_blends_is_mass_weighted(name: str):
    """Mass-weighted from the printed AFR 9.0 and 14.7 of US DOE AFDC, Table 2, at SG 0.794 and 0.745."""
    expected = PRINTED["blends"]["stoichiometric_afr_computed"][name]["value"]
    assert fuels.stoichiometric_ratio(float(name[1:])) == pytest.approx(expected, abs=0.006)


def test_pure_fuels_are_as_printed():
    """US DOE AFDC: stoichiometric ratio 9.0 and 14.7, 76,330 and 116,090 Btu per gallon, 6.61 lb per gallon."""
    assert fuels.stoichiometric_ratio(100) == pytest.approx(PRINTED["ethanol"]["stoichiometric_afr"]["value"])
    assert fuels.stoichiometric_ratio(0) == pytest.approx(PRINTED["gasoline"]["stoichiometric_afr"]["value"])
    assert fuels.heating_value_per_gallon(100) == PRINTED["ethanol"]["lhv_btu_per_gal"][0]["value"]
    assert fuels.heating_value_per_gallon(0) == PRINTED["gasoline"]["lhv_btu_per_gal"][0]["value"]
    pounds_per_gallon = fuels.density(100) * 3.785411784 / 0.45359237
    assert pounds_per_gallon == pytest.approx(PRINTED["ethanol"]["density_lb_per_gal"]["value"], abs=0.015)


@pytest.mark.parametrize("name", ["E10", "E51", "E70", "E83", "E85"])
def test_the_energy_of_blends_is_volume_weighted(name: str):
    """Volume-weighted lower heating value of the printed values, against gasoline."""
    expected = PRINTED["blends"]["energy_relative_computed"][name]["value"]
    assert fuels.heating_value(float(name[1:])) / fuels.heating_value(0) == pytest.approx(expected, abs=5e-5)


def test_the_energy_loss_of_e85_is_in_the_printed_range():
    """fueleconomy.gov, about 2015: 15 to 30 % less than regular with about 10 % ethanol, E51 to E83 fuel."""
    low, high = PRINTED["blends"]["fuel_economy_loss_percent"]["e85"]["value"]
    for content in (51, 83):
        loss = 100 * (1 - fuels.heating_value(content) / fuels.heating_value(10))
        assert low - 1 <= loss <= high


def test_the_ratios_of_e10_and_e85_are_the_commonly_printed_ones():
    """14.1 for E10 and 9.8 for E85 are commonly printed (from memory)."""
    memory = PRINTED["blends"]["stoichiometric_afr_memory"]
    assert fuels.stoichiometric_ratio(10) == pytest.approx(memory["e10"]["value"], abs=0.05)
    assert fuels.stoichiometric_ratio(85) == pytest.approx(memory["e85"]["value"], abs=0.05)
