"""Checks the physics: the server recomputes every content from the raw runs, and refuses the impossible."""

from collections.abc import Sequence
from typing import cast

from splitline.chemistry.budget import MODEL, Figures, results
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.chemistry.measurement import Measurement, counted
from splitline.errors import Problem
from splitline.records import Test

# Device and server run the same equations on the same numbers; a larger difference, in % (V/V), means a fault.
DIFFERENCE = 0.1


def measured(test: Test) -> Measurement:
    """Return a test in the form the chemistry takes: the same fields under the same names."""
    return cast(Measurement, test)


def figures(tests: Sequence[Test], exchange: Exchange = BUILT_IN) -> list[Figures | list[Problem]]:
    """Return the server's figures of each test, in order, or everything that makes them impossible.

    exchange: the operator's table of exchange between the layers.
    """
    return results([measured(test) for test in tests], exchange=exchange)


def set_aside_most(test: Test) -> Problem | None:
    """Refuse a test with half of its runs or more set aside: setting aside is for the odd one."""
    count, every = len(counted(measured(test))), len(test.runs)
    return Problem("set_aside_most", "runs", str(every - count), str((every - 1) // 2)) if 2 * count <= every else None


def content_differs(test: Test, computed: Figures | list[Problem]) -> Problem | None:
    """Flag a device that computes a different content from the same runs with the same version of the tube model."""
    if isinstance(computed, list) or test.model != MODEL or abs(test.content - computed.content) <= DIFFERENCE:
        return None
    return Problem("content_differs", "content", f"{test.content:.2f}", f"{computed.content:.2f}")
