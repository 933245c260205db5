"""Figures from a histogram against figures from all its readings, and against a published fit."""

from collections import Counter
from random import Random

import numpy as np
import pytest

from helpers.published import published
from splitline.statistics.histogram import centre_of, centres_of, tenth_of
from splitline.statistics.robust import huber

COPPER = published("statistics")["robust_mean"]


def test_the_huber_fit_of_copper_in_flour_is_the_published_one():
    """Analytical Methods Committee, Analyst 114 (1989) 1693; fit printed in the R package MASS, huber(chem).

    The values have two decimals; multiplied by ten they are counted in tenths.
    """
    printed = COPPER["huber_mad"]["value"]
    centre, spread = centre_of(Counter(tenth_of(10 * value) for value in COPPER["data"]))
    assert centre / 10 == pytest.approx(printed["mu"], abs=1e-5)
    assert spread / 10 == pytest.approx(printed["s"], abs=1e-6)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 7, 50, 2000])
def test_a_histogram_gives_the_figures_of_all_readings(count: int):
    random = Random(count)
    readings = [round(random.gauss(75, 4) + 20 * (random.random() < 0.1), 1) for _ in range(count)]
    centre, spread = centre_of(Counter(map(tenth_of, readings)))
    assert centre == pytest.approx(huber(readings)[0], rel=1e-9)
    assert spread == pytest.approx(huber(readings)[1], rel=1e-9, abs=1e-9)


def test_rounding_to_tenths_moves_a_centre_by_half_a_tenth_at_most():
    readings = np.random.default_rng(5).normal(75, 4, 500)
    assert centre_of(Counter(map(tenth_of, readings)))[0] == pytest.approx(huber(list(readings))[0], abs=0.05)


def test_halves_round_up():
    assert [tenth_of(value) for value in (-0.05, 0.0, 0.049, 84.25, 100.0)] == [0, 0, 0, 843, 1000]


def test_histograms_computed_together_equal_each_alone():
    random = Random(11)
    levels = [random.gauss(75, 6) for _ in range(40)]
    histograms = [Counter(tenth_of(random.gauss(level, 3)) for _ in range(1 + 3 * k)) for k, level in enumerate(levels)]
    alone = [centre_of(histogram) for histogram in histograms]
    assert np.array(centres_of(histograms)) == pytest.approx(np.array(alone), rel=1e-12)
    assert centres_of([{}, histograms[7]])[0] == (0.0, 0.0), "a month where nothing counts"
    assert centres_of([]) == []
