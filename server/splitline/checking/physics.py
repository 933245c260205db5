"""Physics: the server computes every content again from the raw runs, and refuses what cannot be."""

from collections.abc import Sequence
from typing import cast

from splitline.chemistry.budget import MODEL, Figures, results
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.chemistry.measurement import Measurement, counted
from splitline.errors import Problem
from splitline.records import Test

# A device and the server run the same equations on the same numbers; more than this means a fault.
DIFFERENCE = 0.1


def measured(test: Test) -> Measurement:
    """Return a test as the chemistry takes it: it has everything that was measured, under the same names."""
    return cast(Measurement, test)


def figures(tests: Sequence[Test], exchange: Exchange = BUILT_IN) -> list[Figures | list[Problem]]:
    """Return the server's figures of each test, in order, or everything that makes them impossible.

    exchange: what the layers exchange, as the keeper of the server has it.
    """
    return results([measured(test) for test in tests], exchange=exchange)


def set_aside_most(test: Test) -> Problem | None:
    """Refuse a test of which half the runs or more are set aside: that is not setting the odd one aside."""
    count, every = len(counted(measured(test))), len(test.runs)
    return Problem("set_aside_most", "runs", str(every - count), str((every - 1) // 2)) if 2 * count <= every else None


def content_differs(test: Test, computed: Figures | list[Problem]) -> Problem | None:
    """Flag a device that computes another content from the same runs with the same model of the tube."""
    if isinstance(computed, list) or test.model != MODEL or abs(test.content - computed.content) <= DIFFERENCE:
        return None
    return Problem("content_differs", "content", f"{test.content:.2f}", f"{computed.content:.2f}")
