"""Tests of which some runs are set aside."""

from dataclasses import replace
from random import Random

from splitline.chemistry.measurement import Measurement


def some_aside(measured: Measurement, random: Random) -> Measurement:
    """Return a test with a run or two that do not count; of one with few runs now and then all."""
    count = len(measured.runs)
    odd = random.sample(range(count), min(count, random.randint(1, 2)))
    runs = [replace(run, set_aside="misread") if at in odd else run for at, run in enumerate(measured.runs)]
    return replace(measured, runs=tuple(runs))
