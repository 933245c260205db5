"""What of the figures takes time: plain values in, figures out. No database, no clock.

A serving process gives these jobs to a process of its own (`worker.py`), so that computing never takes the time in
which requests are answered.
"""

from msgspec import Struct, json

from splitline.figures import by_month, priors
from splitline.figures.by_month import MonthFigures
from splitline.figures.priors import Learned
from splitline.statistics.influence import Heard
from splitline.statistics.priors import Figures, Priors, figures_of_several
from splitline.statistics.visits import Visit


class OfSources(Struct, frozen=True, tag="sources"):
    """Figures of sources, each its visits and what its region teaches, for a day since 1970-01-01."""

    day: int
    sources: list[tuple[list[Visit], Priors]]


class OfMonths(Struct, frozen=True, tag="months"):
    """Figures of months, each the contents of its visits."""

    months: list[list[float]]


class OfRegion(Struct, frozen=True, tag="region"):
    """What a region teaches, see `priors.learned`."""

    by_source: dict[str, list[Visit]]
    heard: dict[str, Heard]
    tests: int
    country: tuple[float, ...] | None


class Found(Struct, frozen=True):
    """What a job found, each of its own kind only. sources: JSON texts of `statistics.priors.Figures`."""

    sources: list[str] = []
    months: list[MonthFigures] = []
    region: Learned | None = None


ESTIMATOR = 4
"""Counts the ways in which figures were made; what an earlier one made is stale. 4: on a grid that
follows the visits, and with what a tank keeps of older fuel."""
MADE = f'{{"estimator":{ESTIMATOR},'
"""How the JSON text of figures and priors begins."""

Job = OfSources | OfMonths | OfRegion


def compute(job: Job) -> Found:
    """Return what a job asks for."""
    if isinstance(job, OfMonths):
        return Found(months=by_month.figures_of(job.months))
    if isinstance(job, OfRegion):
        return Found(region=priors.learned(job.by_source, job.heard, job.tests, job.country))
    visits, known = [visits for visits, _ in job.sources], [taught for _, taught in job.sources]
    found = figures_of_several(visits, known, float(job.day))
    return Found(sources=[made(known) for known in found])


def made(what: Figures | Priors) -> str:
    """Return figures or priors as they are kept: JSON that says by which estimator they were made."""
    return MADE + json.encode(what).decode().removeprefix("{")
