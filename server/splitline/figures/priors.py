"""Priors: what a region's visits teach about its sources (empirical Bayes): season, usual scatter, tubes that are off.

They are kept in steps of 0.1 %, a tenth of what a reading is good to: most visits then move none of them, and the
figures of a large region need not be computed again for each. The other regions of a country lend their season by their
own months, not by what was lent to them, and by the power of two below their tests: so priors follow from the visits
alone, in whatever order these came.
"""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from splitline.statistics.influence import STRANGER, Heard, weights_of
from splitline.statistics.instrument_bias import TubeOffset
from splitline.statistics.priors import Priors, priors_of, season_of
from splitline.statistics.season import BINS, Season, country_of
from splitline.statistics.visits import Visit

LEAST_TESTS = 10
"""A region with fewer tests teaches nothing."""
FLAT = (0.0,) * BINS


class Learned(Struct, frozen=True):
    """What a region teaches, in steps of 0.1 %. season: of its own visits, % by half-month of the year.

    weights: how much each contributor counts, see `statistics.influence`.
    """

    priors: Priors
    season: tuple[float, ...]
    weights: dict[str, float]


def learned(
    by_source: Mapping[str, Sequence[Visit]],
    heard: Mapping[str, Heard],
    tests: int,
    country: Sequence[float] | None,
) -> Learned:
    """Return what the visits of a region teach.

    heard: when the server heard of their contributors. tests: how many count there. country: see `country_around`.
    """
    weights = weights_of(by_source, heard)
    if tests < LEAST_TESTS:
        return Learned(NOTHING, FLAT, weights)
    by_source = {source: weighed(visits, weights) for source, visits in by_source.items()}
    drawn = priors_of(by_source, country)
    assert drawn.season is not None, "a region that teaches has a season"
    own = drawn.season if country is None else season_of(by_source)
    offsets = {
        owner: TubeOffset(_in_steps(offset.offset), _in_steps(offset.uncertainty), offset.sources)
        for owner, offset in sorted((drawn.offsets or {}).items())
    }
    return Learned(
        Priors(_kept(drawn.season), _in_steps(drawn.prior_scale), offsets), _rounded(own.deviations), weights
    )


def weighed(visits: Iterable[Visit], weights: Mapping[str, float]) -> list[Visit]:
    """Return visits with the weights of their contributors; one who is missing is a stranger."""
    return [visit._replace(weight=weights.get(visit.contributor, STRANGER)) for visit in visits]


def country_around(others: Iterable[tuple[int, Sequence[float]]]) -> tuple[float, ...] | None:
    """Return the season that a country's other regions, each (tests, own season), lend; None where none has one."""
    return country_of([(weight_of(tests), season) for tests, season in others])


def weight_of(tests: int) -> float:
    """Return how much the season of a region with so many tests counts in its country."""
    return float(2 ** (tests.bit_length() - 1)) if tests >= LEAST_TESTS else 0.0


def _rounded(values: Iterable[float]) -> tuple[float, ...]:
    return tuple(map(_in_steps, values))


def _kept(season: Season) -> Season:
    return Season(_rounded(season.deviations), tuple(map(_finely, season.covariance)))


def _finely(values: Iterable[float]) -> tuple[float, ...]:
    """Variances, whose steps are the square of those of what varies."""
    return tuple(round(value, 2) + 0.0 for value in values)


def _in_steps(value: float) -> float:
    # Adding nothing makes a negative zero a plain one.
    return round(value, 1) + 0.0


NOTHING = Priors(_kept(season_of({})))
"""What is taken where nothing was learned: a flat season that may be wrong by as much as a season can be."""
