"""Priors for a region's sources, estimated from its visits (empirical Bayes): season, usual scatter, tube offsets.

They are rounded to 0.1 %, a tenth of the accuracy of a reading: most visits then change no prior, and the figures of a
large region need not be recomputed for each. The prior mean of a season comes from the country's other regions: from
their own visits only, not from their priors, weighted by their tests rounded down to a power of two. So priors depend
on the visits alone, not on their order.
"""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from splitline.statistics.influence import STRANGER, Activity, weights_of
from splitline.statistics.instrument_bias import TubeOffset
from splitline.statistics.priors import Priors, priors_of, season_of
from splitline.statistics.season import BINS, Season, country_of
from splitline.statistics.visits import Visit

LEAST_TESTS = 10
"""A region with fewer tests gets no priors of its own."""
FLAT = (0.0,) * BINS


class Learned(Struct, frozen=True):
    """A region's priors, rounded to 0.1 %. season: of its own visits, % by half-month of the year.

    weights: by contributor, see `statistics.influence`.
    """

    priors: Priors
    season: tuple[float, ...]
    weights: dict[str, float]


def learned(
    by_source: Mapping[str, Sequence[Visit]],
    activity: Mapping[str, Activity],
    tests: int,
    country: Sequence[float] | None,
) -> Learned:
    """Return a region's priors from its visits.

    activity: when the server received reports from their contributors. tests: number that count there. country: see
    `country_around`.
    """
    weights = weights_of(by_source, activity)
    if tests < LEAST_TESTS:
        return Learned(NOTHING, FLAT, weights)
    by_source = {source: weighed(visits, weights) for source, visits in by_source.items()}
    regional = priors_of(by_source, country)
    assert regional.season is not None, "priors of a region have a season"
    own = regional.season if country is None else season_of(by_source)
    offsets = {
        owner: TubeOffset(_in_steps(offset.offset), _in_steps(offset.uncertainty), offset.sources)
        for owner, offset in sorted((regional.offsets or {}).items())
    }
    return Learned(
        Priors(_rounded_season(regional.season), _in_steps(regional.prior_scale), offsets),
        _rounded(own.deviations),
        weights,
    )


def weighed(visits: Iterable[Visit], weights: Mapping[str, float]) -> list[Visit]:
    """Return visits with their contributors' weights; missing contributors are strangers."""
    return [visit._replace(weight=weights.get(visit.contributor, STRANGER)) for visit in visits]


def country_around(others: Iterable[tuple[int, Sequence[float]]]) -> tuple[float, ...] | None:
    """Return the mean season of a country's other regions, given as (tests, own season); None without any."""
    return country_of([(weight_of(tests), season) for tests, season in others])


def weight_of(tests: int) -> float:
    """Return the weight of a region's season in its country, from its number of tests."""
    return float(2 ** (tests.bit_length() - 1)) if tests >= LEAST_TESTS else 0.0


def _rounded(values: Iterable[float]) -> tuple[float, ...]:
    return tuple(map(_in_steps, values))


def _rounded_season(season: Season) -> Season:
    return Season(_rounded(season.deviations), tuple(map(_rounded_variances, season.covariance)))


def _rounded_variances(values: Iterable[float]) -> tuple[float, ...]:
    """Rounds variances: their step is the square of that of the values."""
    return tuple(round(value, 2) + 0.0 for value in values)


def _in_steps(value: float) -> float:
    # Adding 0.0 turns -0.0 into 0.0.
    return round(value, 1) + 0.0


NOTHING = Priors(_rounded_season(season_of({})))
"""The priors without any data: a flat season, as uncertain as a season can be."""
