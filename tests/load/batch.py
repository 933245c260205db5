"""`python tests/load/batch.py`: 500 tests computed in one array call, compared with one at a time."""

import statistics
import time
from collections.abc import Callable
from random import Random

from splitline.chemistry.budget import result, results
from splitline.chemistry.extraction import line_of_content
from splitline.chemistry.measurement import Measurement, Run, Tube

TESTS = 500
ROUNDS = 7


def measurements(random: Random) -> list[Measurement]:
    """Typical tests: a 50 mL + 50 mL tube, two runs at most half a step apart."""
    found = []
    for _ in range(TESTS):
        line = line_of_content(random.uniform(60, 88), 50, 50, 15, 0.5)
        runs = tuple(Run(50, 50, line=line + random.uniform(-0.25, 0.25)) for _ in range(2))
        found.append(Measurement(Tube("volume", 1.0), runs, random.uniform(0, 30), random.random() < 0.5))
    return found


def seconds(act: Callable[[], object]) -> float:
    """The median time of a few rounds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print both times and their ratio."""
    many = measurements(Random(500))
    together = seconds(lambda: results(many))
    alone = seconds(lambda: [result(measurement) for measurement in many])
    ratio = alone / together
    print(f"{TESTS} tests: {together * 1e3:.1f} ms together, {alone * 1e3:.1f} ms one at a time, ratio {ratio:.0f}")


if __name__ == "__main__":
    main()
