"""From the line as read to the content: the corrections in order, each applied on top of those before it."""

import numpy as np

from splitline.chemistry.exchange import Exchange, Exchanged
from splitline.chemistry.extraction import Filling, Temperatures, brine_content
from splitline.chemistry.polynomial import Array
from splitline.chemistry.runs import Runs
from splitline.chemistry.scale import DRAWN_AT

# The corrections: the shrinkage at 20 degrees Celsius with dry fuel (for brine, the method of the standard), the marks'
# true volumes, the temperatures, the water in the fuel. The last two do not apply to brine.
EVERY = slice(0, 4)
LAST = slice(3, 4)
# Contents closer than this, %, share a tube's offset: the exchange correction is the same to a tenth of a point.
ALIKE = 10.0


def contents_after(steps: slice, runs: Runs, lines: Array) -> Array:
    """Return the contents in %, [step, kind of scale, run], for lines as read in mL, [kind of scale, run]."""
    at, (line, water, fuel) = runs.temperatures, runs.true(lines)
    drawn_at, dry = np.full_like(water, DRAWN_AT), np.zeros_like(water)
    conditions = [
        (runs.water, runs.fuel, drawn_at, drawn_at, drawn_at, dry),
        (water, fuel, drawn_at, drawn_at, drawn_at, dry),
        (water, fuel, *at, dry),
        (water, fuel, *at, runs.at.fuel_water),
    ][steps]
    after = np.array([lines, line, line, line][steps])
    waters, fuels, *temperatures, wet = np.array(conditions).swapaxes(0, 1)[:, :, None]
    contents = Filling.of(waters, fuels, Temperatures(*temperatures), wet).contents(after)
    return np.where(runs.in_tube.brine, brine_content(after, waters, fuels), contents)


def exchanged(runs: Runs, read: Array, table: Exchange) -> Exchanged:
    """Return the contents as read, %, [kind of scale, run], corrected for the exchange between the layers.

    The standard for brine already includes it, so brine is not corrected. Nor is a tube whose offset dates from before
    this correction, as the offset includes it. An offset from a known sample of similar content includes the table's
    error there.
    """
    found, tube = table.corrected(read, runs.share, runs.at.temperature), runs.in_tube
    offset = tube.offset_uncertainty > 0.0
    holds_it = offset & np.isnan(tube.offset_content)
    nothing = tube.brine | holds_it
    content = np.where(nothing, read, found.content)
    like = offset & (np.abs(content - tube.offset_content) <= ALIKE)
    return Exchanged(
        content,
        np.where(tube.brine | like, 0.0, found.uncertainty),
        np.where(nothing, 1.0, found.slope),
    )
