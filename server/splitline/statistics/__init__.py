"""Robust statistics and steadiness: pure functions, with no chemistry in them.

The app has the same functions in pwa/src/statistics, so it can update its list after a test without the server.
Everything exported here works on its own (see server/LIBRARY.md) and needs only numpy and the standard library.
"""

from splitline.statistics.priors import DatedChange, Figures, Priors, figures_of, priors_of, season_of
from splitline.statistics.season import Season, at_day, basis
from splitline.statistics.steadiness import Estimate
from splitline.statistics.visits import Visit, visits_of

__all__ = [
    "DatedChange",
    "Estimate",
    "Figures",
    "Priors",
    "Season",
    "Visit",
    "at_day",
    "basis",
    "figures_of",
    "priors_of",
    "season_of",
    "visits_of",
]
