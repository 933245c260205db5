"""The uncertainty of a result against Monte Carlo propagation and against the package `uncertainties`."""

from math import sqrt

import numpy as np
import pytest
from uncertainties import ufloat, wrap

from splitline.chemistry.budget import result
from splitline.chemistry.components import EXTRACTION_HALF_WIDTH, FUEL_WATER_HALF_WIDTH, TEMPERATURE_GUESSED
from splitline.chemistry.density import density
from splitline.chemistry.extraction import content_of_line, line_of_content
from splitline.chemistry.measurement import Measurement, Run, Tube

OWN = ("water_fill", "fuel_fill", "line")
SHARED = ("marks", "fuel_water", "temperature", "extraction")
DRAWS = 40_000


def solve(line, water, fuel, temperature, fuel_water):
    """Return contents in % for arrays of inputs: the tube's equation by bisection, without the product's solver."""
    low, high = np.full(line.shape, -0.2), np.full(line.shape, 1.3)
    mass_water = (water + fuel_water / 100 * fuel) * density(0.0, temperature)
    mass_of_whole = fuel * density(1.0, temperature)
    for _ in range(24):  # to 0.00001 %
        middle = (low + high) / 2
        mass_ethanol = middle * mass_of_whole
        mass = mass_water + mass_ethanol
        below = mass / density(mass_ethanol / mass, temperature) < line
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 100 * (low + high) / 2


def monte_carlo(measurement: Measurement, only: tuple[str, ...]) -> float:
    """Return the half-width of the shortest symmetric interval that holds 95 % (JCGM 101), in %."""
    random = np.random.default_rng(1)

    def flat(half_width: float, name: str):
        return random.uniform(-half_width, half_width, DRAWS) if name in only else np.zeros(DRAWS)

    def peaked(half_width: float, name: str):
        return random.triangular(-half_width, 0, half_width, DRAWS) if name in only else np.zeros(DRAWS)

    tube = measurement.tube
    tolerance = tube.tolerance or 0.0
    marks = {name: flat(tolerance, "marks") for name in ("line", "water", "fuel")}
    fuel_water = measurement.fuel_water + flat(FUEL_WATER_HALF_WIDTH, "fuel_water")
    degrees = random.normal(0, TEMPERATURE_GUESSED, DRAWS) if "temperature" in only else np.zeros(DRAWS)
    contents = np.zeros(DRAWS)
    for run in measurement.runs:
        water = run.water + flat(tube.graduation / 2, "water_fill") + marks["water"]
        fuel = run.fuel + flat(tube.graduation / 2, "fuel_fill") + marks["fuel"]
        line = run.line + peaked(tube.graduation / 2, "line") + marks["line"]
        contents += solve(line, water, fuel, measurement.temperature + degrees, fuel_water) / len(measurement.runs)
    contents += flat(EXTRACTION_HALF_WIDTH, "extraction")
    return float(np.quantile(np.abs(contents - result(measurement).content), 0.95))


def made(content: float, runs: int, water: float, fuel: float, graduation: float, tolerance: float | None = None):
    line = line_of_content(content, water, fuel, 15.0, 0.5)
    return Measurement(Tube("volume", graduation, "water", tolerance), (Run(water, fuel, line=line),) * runs, 15.0)


@pytest.mark.parametrize("runs", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("tube", [(50, 50, 1.0, None), (10, 10, 0.2, 0.1), (100, 100, 2.0, 1.0)])
@pytest.mark.parametrize("content", [10, 50, 85])
def test_expanded_uncertainty_covers_as_monte_carlo_does(content, tube, runs):
    """JCGM 101: U lies within 5 % of the Monte Carlo half-width over contents, tube sizes and run counts."""
    measurement = made(content, runs, *tube)
    assert result(measurement).expanded_uncertainty / monte_carlo(measurement, OWN + SHARED) == pytest.approx(
        1, abs=0.05
    )


@pytest.mark.parametrize("runs", [1, 2, 5])
@pytest.mark.parametrize("name", OWN + SHARED)
def test_each_component_alone_covers_as_monte_carlo_does(name, runs):
    measurement = made(83.0, runs, 50, 50, 1.0, 0.5)
    alone = result(measurement, {name}).expanded_uncertainty
    assert alone / monte_carlo(measurement, (name,)) == pytest.approx(1, abs=0.05)


def test_components_added_one_by_one_cover_as_monte_carlo_does():
    measurement = made(70.0, 2, 50, 50, 1.0, 0.5)
    for count in range(1, len(OWN + SHARED) + 1):
        only = (OWN + SHARED)[:count]
        ratio = result(measurement, only).expanded_uncertainty / monte_carlo(measurement, only)
        assert ratio == pytest.approx(1, abs=0.05), only


def test_propagation_agrees_with_the_package_uncertainties():
    """Linear propagation by `uncertainties` through the solver, with numeric derivatives."""
    measurement = made(76.0, 1, 50, 50, 1.0)
    line = measurement.runs[0].line
    inputs = (
        ufloat(line, 0.5 / sqrt(6)),
        ufloat(50, 0.5 / sqrt(3)),
        ufloat(50, 0.5 / sqrt(3)),
        ufloat(15, TEMPERATURE_GUESSED),
        ufloat(0.5, FUEL_WATER_HALF_WIDTH / sqrt(3)),
    )
    other = wrap(content_of_line)(*inputs) + ufloat(0, EXTRACTION_HALF_WIDTH / sqrt(3))
    ours = result(measurement)
    assert ours.content == pytest.approx(other.nominal_value, rel=1e-9)
    assert sqrt(ours.own_uncertainty**2 + ours.shared_uncertainty**2) == pytest.approx(other.std_dev, rel=1e-4)
