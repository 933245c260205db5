"""Figures of a region's months: centre and spread of the visits' contents.

The robust centre and spread come from a histogram in tenths of a percent: rounding moves them by 0.05 at most, and a
reading is good to a percent.
"""

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from splitline.statistics.histogram import centres_of, tenth_of


class MonthFigures(Struct, frozen=True):
    """centre, spread: robust, % (V/V); no spread with one visit. contents: visits by tenths of a percent."""

    centre: float
    spread: float | None
    contents: dict[int, int]


def figures_of(months: Sequence[Sequence[float]]) -> list[MonthFigures]:
    """Return the figures of some months, given the contents of their visits, % (V/V); computed together."""
    histograms = [dict(sorted(Counter(map(tenth_of, contents)).items())) for contents in months]
    return [
        MonthFigures(centre, spread if len(contents) > 1 else None, histogram)
        for contents, histogram, (centre, spread) in zip(months, histograms, centres_of(histograms), strict=True)
    ]
