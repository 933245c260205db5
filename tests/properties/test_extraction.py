"""Properties of the tube equation for any numbers."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitline.chemistry.extraction import Filling, Temperatures, content_of_line, line_of_content, sensitivities
from splitline.chemistry.measurement import Scale
from splitline.chemistry.scale import line_of_reading, reading_of_line

contents = st.floats(-20, 120)
volumes = st.floats(5, 500)
temperatures = st.floats(-20, 40)
fuel_waters = st.floats(0, 10)


@given(contents, volumes, volumes, temperatures, fuel_waters)
def test_content_to_line_and_back(content, water, fuel, temperature, fuel_water):
    line = line_of_content(content, water, fuel, temperature, fuel_water)
    assert abs(content_of_line(line, water, fuel, temperature, fuel_water) - content) < 1e-8


@given(volumes, volumes, temperatures, fuel_waters, st.floats(1, 1000))
def test_an_impossible_line_gives_the_nearer_limit(water, fuel, temperature, fuel_water, off):
    low, high = (line_of_content(content, water, fuel, temperature, fuel_water) for content in (-30, 140))
    assert content_of_line(low - off, water, fuel, temperature, fuel_water) == -30
    assert content_of_line(high + off, water, fuel, temperature, fuel_water) == pytest.approx(140)


@given(contents, st.floats(0.01, 5), volumes, volumes, temperatures, fuel_waters)
def test_the_line_rises_with_the_content(content, more, water, fuel, temperature, fuel_water):
    def line(at: float) -> float:
        return line_of_content(at, water, fuel, temperature, fuel_water)

    assert line(content + more) > line(content)


degrees = st.builds(Temperatures, *[st.floats(-19, 39)] * 3)


@given(contents, volumes, volumes, degrees, fuel_waters)
def test_content_to_line_and_back_at_three_temperatures(content, water, fuel, at, fuel_water):
    filling = Filling.of(water, fuel, at, fuel_water)
    assert abs(filling.contents(filling.lines(content)) - content) < 1e-8


@given(st.floats(5, 95), volumes, volumes, degrees, st.floats(0.1, 9))
def test_sensitivities_equal_numerical_slopes(content, water, fuel, temperatures, fuel_water):
    """Implicit differentiation against central differences of the solver itself."""
    line = Filling.of(water, fuel, temperatures, fuel_water).lines(content)
    at = {"line": line, "water": water, "fuel": fuel, "fuel_water": fuel_water, "temperature": temperatures.read}
    at |= {"water_temperature": temperatures.water, "fuel_temperature": temperatures.fuel}

    def solved(line, water, fuel, fuel_water, temperature, water_temperature, fuel_temperature):
        between = Temperatures(water_temperature, fuel_temperature, temperature)
        return Filling.of(water, fuel, between, fuel_water).contents(line)

    found = sensitivities(content, water, fuel, temperatures, fuel_water)
    assert set(found._fields) == set(at)
    for name, value in at.items():
        step = 1e-4 * max(value, 1.0) if name != "fuel_water" else 1e-3
        slope = (solved(**{**at, name: value + step}) - solved(**{**at, name: value - step})) / (2 * step)
        assert abs(getattr(found, name) - slope) < 1e-4 * (1 + abs(slope))


@given(st.sampled_from(get_args(Scale)), st.floats(2, 98), volumes, volumes)
def test_reading_a_scale_inverts_drawing_it(scale, content, water, fuel):
    line = line_of_content(content, water, fuel, 20, 0)
    reading = reading_of_line(scale, line, water, fuel)
    assert abs(line_of_reading(scale, reading, water, fuel) - line) < 1e-8 * line
    if scale == "corrected":
        assert abs(reading - content) < 1e-8
