"""The demo's invented world: its tubes against the tube model, with which it shares nothing."""

import ast
from datetime import UTC, datetime
from pathlib import Path

import pytest

from splitline import records
from splitline.chemistry.budget import MODEL, result
from splitline.chemistry.density import density
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.demo import scenario, tubes
from splitline.demo.tubes import Filled

NOW = datetime(2026, 4, 1, 12, tzinfo=UTC)


def test_the_scenario_imports_nothing_of_the_model() -> None:
    tree = ast.parse(Path(tubes.__file__).read_text(encoding="utf-8"))
    imported = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    imported += [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    assert set(imported) == {"dataclasses", "math", "random"}


@pytest.mark.parametrize("strength", [0.30, 0.42, 0.50])
def test_its_densities_agree_with_oiml_r_22(strength: float) -> None:
    """Within 0.1 % of the OIML R 22 formula from 10 to 30 degrees."""
    for temperature in (10.0, 20.0, 30.0):
        assert 1000 * tubes._layer(strength, temperature) == pytest.approx(
            float(density(strength, temperature)), rel=1e-3
        )


@pytest.mark.parametrize("ethanol", [0.5, 0.6, 0.7, 0.8, 0.85, 0.9])
def test_the_model_reads_its_tubes_within_the_uncertainty(ethanol: float) -> None:
    """Different density data and exchange rules leave up to 0.3 points, at three different temperatures."""
    filled = Filled(50.0, 50.0, ethanol, 0.005, 10.0, 14.0)
    warm = tubes.warm(filled, 10.0, 15.0)
    run = Run(50.0, 50.0, tubes.line(filled, warm))
    found = result(Measurement(Tube("volume", 0.1), (run,), warm, True, 0.5, 10.0, True, 14.0, True))
    assert found.content == pytest.approx(100 * ethanol, abs=0.3)


def test_a_tube_warms_on_mixing_and_then_cools() -> None:
    """50 mL of water and 50 mL of 95 % ethanol rose by 6.5 degrees in a printed trial."""
    filled = Filled(50.0, 50.0, 0.95, 0.05, 22.0, 22.0)
    assert tubes.warm(filled, 22.0, 0.0) - 22.0 == pytest.approx(6.5, abs=1.0)
    assert 22.0 < tubes.warm(filled, 22.0, 90.0) < 23.0


def test_a_corrected_scale_is_right_at_its_design_point() -> None:
    """By hand from OIML R 22: 50 mL of 84 % on 50 mL of water give a line at 88.8 mL."""
    assert tubes.printed_percent(88.8, 50.0, 50.0) == pytest.approx(84.0, abs=0.1)


def test_demo_tests_state_every_temperature() -> None:
    tests = [one for parcel in scenario.parcels(NOW) for one in parcel.records if isinstance(one, records.Test)]
    assert {test.model for test in tests} == {MODEL}
    warmer = [test.temperature - (test.water_temperature or 0) for test in tests if test.temperature_measured]
    assert len(warmer) > 100
    assert 2 < sum(warmer) / len(warmer) < 6, "tubes are read before they have cooled"
    assert all(test.fuel_temperature is not None for test in tests)
