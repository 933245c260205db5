"""Robust figures against published fits."""

import numpy as np
import pytest

from helpers.published import published
from splitline.statistics.robust import huber, mad_spread, quantile

COPPER = published("statistics")["robust_mean"]


def test_the_huber_fit_of_copper_in_flour_is_the_published_one():
    """Analytical Methods Committee, Analyst 114 (1989) 1693; fit printed in the R package MASS, huber(chem)."""
    printed = COPPER["huber_mad"]["value"]
    centre, spread = huber(COPPER["data"])
    assert centre == pytest.approx(printed["mu"], abs=1e-5)
    assert spread == pytest.approx(printed["s"], abs=1e-6)
    assert mad_spread(COPPER["data"]) == spread


@pytest.mark.parametrize("probability", [0, 0.05, 0.25, 0.5, 0.9, 1])
def test_quantiles_are_of_type_7(probability: float):
    """Hyndman and Fan 1996, type 7, as numpy computes it."""
    assert quantile(COPPER["data"], probability) == pytest.approx(np.quantile(COPPER["data"], probability), rel=1e-12)
