"""The computing part of the figures: plain values in, figures out. No database, no clock.

The server runs these jobs in a worker process (`worker.py`), so that computing never delays requests.
"""

from msgspec import Struct, json

from splitline.figures import by_month, priors
from splitline.figures.by_month import MonthFigures
from splitline.figures.priors import Learned
from splitline.statistics.influence import Activity
from splitline.statistics.priors import Figures, Priors, figures_of_several
from splitline.statistics.visits import Visit


class OfSources(Struct, frozen=True, tag="sources"):
    """Figures of sources, from their visits and their regions' priors, for a day since 1970-01-01."""

    day: int
    sources: list[tuple[list[Visit], Priors]]


class OfMonths(Struct, frozen=True, tag="months"):
    """Figures of months, from the contents of their visits."""

    months: list[list[float]]


class OfRegion(Struct, frozen=True, tag="region"):
    """Priors of a region, see `priors.learned`."""

    by_source: dict[str, list[Visit]]
    activity: dict[str, Activity]
    tests: int
    country: tuple[float, ...] | None


class Found(Struct, frozen=True):
    """The result of a job; only the field of its kind is set. sources: JSON texts of `statistics.priors.Figures`."""

    sources: list[str] = []
    months: list[MonthFigures] = []
    region: Learned | None = None


ESTIMATOR = 5
"""Version of the estimator; figures of earlier ones are stale. 5: free unseen season, age of fuel."""
MADE = f'{{"estimator":{ESTIMATOR},'
"""How the JSON text of figures and priors begins."""

Job = OfSources | OfMonths | OfRegion


def compute(job: Job) -> Found:
    """Return the result of a job."""
    if isinstance(job, OfMonths):
        return Found(months=by_month.figures_of(job.months))
    if isinstance(job, OfRegion):
        return Found(region=priors.learned(job.by_source, job.activity, job.tests, job.country))
    visits, known = [visits for visits, _ in job.sources], [prior for _, prior in job.sources]
    found = figures_of_several(visits, known, float(job.day))
    return Found(sources=[made(known) for known in found])


def made(what: Figures | Priors) -> str:
    """Return figures or priors as stored: JSON with the version of the estimator."""
    return MADE + json.encode(what).decode().removeprefix("{")
