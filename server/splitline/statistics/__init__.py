"""Robust figures and steadiness: pure functions that know nothing of chemistry.

The app has the same functions in pwa/src/statistics, so a fresh test moves its list before any exchange.
What is named here can be used alone, see server/LIBRARY.md; it needs numpy and the standard library only.
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
