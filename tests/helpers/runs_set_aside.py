"""Random tests with some runs set aside, for the vectors."""

from dataclasses import replace
from random import Random

from splitline.chemistry.measurement import Measurement


def some_aside(measured: Measurement, random: Random) -> Measurement:
    """Return the test with one or two runs set aside; a test with few runs may lose all of them."""
    count = len(measured.runs)
    odd = random.sample(range(count), min(count, random.randint(1, 2)))
    runs = [replace(run, set_aside="misread") if at in odd else run for at, run in enumerate(measured.runs)]
    return replace(measured, runs=tuple(runs))
