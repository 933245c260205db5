"""The density formula against printed tables and against a general-purpose property library."""

import pytest

from helpers.published import published, rows
from splitline.chemistry.density import density

PRINTED = published("density")


def test_agrees_with_the_tables_of_osborne_mckelvy_and_bearce():
    """Bulletin of the Bureau of Standards 9 (1913), reprinted; 0.10 kg/m3 to 30 C, 0.15 above: other measurements."""
    table = rows(PRINTED["nbs"])
    assert len(table) > 150
    for mass_percent, temperature, printed in table:
        tolerance = 0.10 if temperature <= 30 else 0.15
        assert density(mass_percent / 100, temperature) == pytest.approx(1000 * printed, abs=tolerance)


def test_agrees_with_perry():
    """Perry's Chemical Engineers' Handbook, 7th ed. (1997), aqueous ethyl alcohol at 20 C."""
    for mass_percent, temperature, printed in rows(PRINTED["perry"]):
        assert density(mass_percent / 100, temperature) == pytest.approx(1000 * printed, abs=0.06)


def test_agrees_with_the_pharmacopeia():
    """USP29-NF24, Alcoholometric Table: specific gravity in air at 25/25 C, 4 printed decimals.

    In air: buoyancy of 1.2 kg/m3 taken off both densities. Its last digit and rounded mass percent allow 1e-4.
    """
    for mass_percent, gravity, _ in rows(PRINTED["usp"]):
        in_air = (density(mass_percent / 100, 25) - 1.2) / (density(0, 25) - 1.2)
        assert in_air == pytest.approx(gravity, abs=1.0e-4)


def test_agrees_with_the_printed_points_of_the_directive():
    """Council Directive 76/766/EEC and OIML R 22: ethanol 789.24, water 998.20, 50 % by mass 913.77 kg/m3 at 20 C."""
    assert density(1.0, 20) == pytest.approx(789.24, abs=0.005)
    assert density(0.0, 20) == pytest.approx(998.20, abs=0.005)
    assert density(0.5, 20) == pytest.approx(913.77, abs=0.005)


@pytest.mark.parametrize("temperature", [0.0, 10.0, 20.0, 30.0])
@pytest.mark.parametrize("mass_fraction", [0.15, 0.3, 0.45, 0.6])
def test_agrees_with_coolprop(mass_fraction: float, temperature: float):
    """CoolProp INCOMP::MEA (aqueous ethanol, fitted to Melinder 2010): good to about 0.5 %."""
    from CoolProp.CoolProp import PropsSI  # takes three seconds: not for every collection of tests

    other = PropsSI("D", "T", temperature + 273.15, "P", 101325, f"INCOMP::MEA[{mass_fraction}]")
    assert density(mass_fraction, temperature) == pytest.approx(other, rel=5e-3)
