"""From the line as read to the content: one correction after the other, each on top of those before it."""

import numpy as np

from splitline.chemistry.extraction import Filling, brine_content
from splitline.chemistry.polynomial import Array
from splitline.chemistry.runs import Runs
from splitline.chemistry.scale import DRAWN_AT

# What is corrected for: the shrinkage at 20 degrees Celsius with dry fuel (for brine, the method of the standard), the
# marks' true volumes, the temperature, the water in the fuel. The last two are nothing to brine.
EVERY = slice(0, 4)
LAST = slice(3, 4)


def contents_after(steps: slice, runs: Runs, lines: Array) -> Array:
    """Return the contents in %, [step, kind of scale, run], for lines as read in mL, [kind of scale, run]."""
    at, (line, water, fuel) = runs.at, runs.true(lines)
    drawn_at, dry = np.full_like(water, DRAWN_AT), np.zeros_like(water)
    conditions = [
        (runs.water, runs.fuel, drawn_at, dry),
        (water, fuel, drawn_at, dry),
        (water, fuel, at.temperature, dry),
        (water, fuel, at.temperature, at.fuel_water),
    ][steps]
    after = np.array([lines, line, line, line][steps])
    waters, fuels, *others = np.array(conditions).swapaxes(0, 1)[:, :, None]
    contents = Filling.of(waters, fuels, *others).contents(after)
    return np.where(runs.at.brine, brine_content(after, waters, fuels), contents)
