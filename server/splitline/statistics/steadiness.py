"""How steady a source is: the prediction of its next fill, and the scatter of its deliveries.

The model is in `posterior.py`; every figure comes from its grid. Visits that may belong to the same delivery are not
independent, so each is weighted by the number of others near it. Errors shared by all visits with a tube (its marks,
the fuel's water, temperature) and the uncertainty of the season widen the level and the next fill, never the scatter.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress
from math import copysign, exp, hypot, log, log1p, sqrt
from typing import cast

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.normal import distribution_and_density, quantile
from splitline.statistics.posterior import Posterior, posterior_of
from splitline.statistics.season import Season, aged_at, at_day, met_at, unknown_of
from splitline.statistics.visits import ESTABLISHED, LEFT, LEFT_UNCERTAINTY, Columns, Visit, columns_of, shares_of

# Sources whose quantiles are computed together.
AT_ONCE = 20
# Limit of Newton steps, or of bisections where these would leave the bracket.
MOST_STEPS = 60
# Bracket: every quantile is within this many standard deviations of some component's mean.
FAR = 8.0
# Convergence: the next Newton step would be about the square of this.
SETTLED = 1e-7
# Scale of the prior of tau in %, until the region has its own: from memory, no source.
PRIOR_SCALE = 2.0
# Probabilities of the quantiles of the level, of tau and of the next fill.
LEVEL_AT = (0.05, 0.95)
TAU_AT = (0.05, 0.5, 0.8, 0.95)
NEXT_FILL_AT = (0.005, *(round(0.05 * k, 2) for k in range(1, 20)), 0.995)

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Estimate:
    """The estimate for one source, contents in % (V/V).

    typical and its 90 % interval; tau with its 90 % interval and upper 80 % bound; the 90 % interval of the next fill,
    whose lower end is the floor; the next fill's quantiles at `NEXT_FILL_AT`; evidence 0..3: one each for four visits,
    a span of 21 days (four weeks of visits) and two contributors, of established contributors only (see `influence`).
    season_uncertainty: standard, of the present level due to the season. wrong: indices, from 0, of the visits that are
    probably gross errors. established: number of established contributors. heaviest: largest weight of one, 0..1.
    """

    typical: float
    typical_interval: tuple[float, float]
    tau: float
    tau_interval: tuple[float, float]
    tau_bound: float
    next_fill: tuple[float, float]
    floor: float
    next_fill_quantiles: tuple[float, ...]
    visits: int
    contributors: int
    evidence: int
    last_sampled_at: float
    season_uncertainty: float = 0.0
    wrong: tuple[int, ...] = ()
    established: int = 0
    heaviest: float = 1.0


@dataclass(frozen=True, slots=True)
class Observed:
    """The input for one source: its visits, at least one, and its region's priors, see `estimate`."""

    visits: Columns
    season: Season | None = None
    prior_scale: float = PRIOR_SCALE


@dataclass(frozen=True, slots=True)
class _Known:
    """A source with its posterior, and the season there.

    Variances, %^2: season: of the level due to the season; open: that plus the tubes' shared errors; blur: what the
    season adds to the scatter.
    """

    visits: Columns
    posterior: Posterior
    level: float
    season: float
    open: float
    blur: float


def estimate(
    visits: Sequence[Visit], now_day: float, season: Season | None = None, prior_scale: float = PRIOR_SCALE
) -> Estimate | None:
    """Return the estimate for a source, or None without visits.

    now_day: days since 1970-01-01 UTC. season: of its region; None is flat and exact. prior_scale: scale of the
    prior of tau, %.
    """
    return estimates([Observed(columns_of(visits), season, prior_scale)], now_day)[0] if visits else None


def estimates(sources: Sequence[Observed], now_day: float) -> list[Estimate]:
    """Return the estimate for each source, in order; each has at least one visit.

    now_day: days since 1970-01-01 UTC.
    """
    found: list[Estimate] = []
    for start in range(0, len(sources), AT_ONCE):
        known = [_known(source, now_day) for source in sources[start : start + AT_ONCE]]
        found += map(_estimate, known, _quantiles(known))
    return found


def _known(source: Observed, now_day: float) -> _Known:
    visits, season = source.visits, source.season
    prior_scale = source.prior_scale * exp(-LEFT)
    # Visits of one delivery share its scatter, not their own noise: weighted by the usual share of scatter in both.
    weights = shares_of(visits, prior_scale**2 / (prior_scale**2 + visits.own**2))
    deviations = visits.content - met_at(season, visits.day) if season else visits.content
    own = np.hypot(visits.own, aged_at(season, visits.day)) if season else visits.own
    posterior = posterior_of(deviations, own, weights, prior_scale)
    unknown, blur = unknown_of(season, visits.day, weights, now_day) if season else (0.0, 0.0)
    # Of those with much weight only: what strangers' tubes share must not widen the interval of a known level.
    tubes = visits.shared[visits.heavy]
    shared = float(tubes @ tubes) / len(tubes) / _people(visits, visits.heavy)
    level = at_day(season, now_day) if season else 0.0
    return _Known(visits, posterior, level, unknown, unknown + shared, blur)


def _estimate(source: _Known, quantiles: list[float]) -> Estimate:
    visits, posterior = source.visits, source.posterior
    low, high, *next_fill = (source.level + quantile for quantile in quantiles)
    tau_low, tau, tau_bound, tau_high = _of_deliveries(posterior.tau_at(TAU_AT), source.blur)
    established = visits.weight >= ESTABLISHED
    people = _people(visits, established)
    return Estimate(
        typical=source.level + float(posterior.share @ posterior.mean),
        typical_interval=(low, high),
        tau=tau,
        tau_interval=(tau_low, tau_high),
        tau_bound=tau_bound,
        next_fill=(next_fill[1], next_fill[-2]),
        floor=next_fill[1],
        next_fill_quantiles=tuple(next_fill),
        visits=len(visits.who),
        contributors=len(set(visits.who)),
        evidence=_evidence(visits, established, people),
        established=people,
        heaviest=float(visits.weight.max()),
        last_sampled_at=float(visits.day.max()),
        season_uncertainty=sqrt(source.season),
        wrong=posterior.wrong,
    )


def probability_at_least(quantiles: Sequence[float], minimum: float) -> float:
    """Return the probability, 0.005..0.995, that the next fill holds at least `minimum` %."""
    if minimum <= quantiles[0]:
        return 1.0 - NEXT_FILL_AT[0]
    for k in range(1, len(quantiles)):
        if minimum <= quantiles[k]:
            share = (minimum - quantiles[k - 1]) / (quantiles[k] - quantiles[k - 1])
            return 1.0 - (NEXT_FILL_AT[k - 1] + share * (NEXT_FILL_AT[k] - NEXT_FILL_AT[k - 1]))
    return 1.0 - NEXT_FILL_AT[-1]


def _of_deliveries(in_tank: Sequence[float], blur: float) -> list[float]:
    """Scatter of deliveries, from the scatter of the fuel in the tank: quantiles at `TAU_AT`, the second the median.

    With a share h of old fuel left, the variance V of the tank is h^2 V + (1 - h)^2 tau^2, so log tau is larger by
    artanh h, which is about h. blur: variance, %^2, that the season may have added or removed.
    """
    median = in_tank[1]
    open_ = hypot(LEFT_UNCERTAINTY, 0.5 * log1p(blur / median**2))
    apart = [
        copysign(hypot(log(tau / median), quantile(p) * open_), tau - median)
        for p, tau in zip(TAU_AT, in_tank, strict=True)
    ]
    return [median * exp(LEFT + log_ratio) for log_ratio in apart]


def _quantiles(sources: Sequence[_Known]) -> list[list[float]]:
    """For each source, quantiles of the level without its season, then of the next fill: both are normal mixtures.

    Bracketed Newton method; array axes are source, quantile, tau. A converged source no longer moves, so the result
    is the same as for the source alone.
    """
    tau, share, mean, variance = (
        np.stack([getattr(source.posterior, name) for source in sources])
        for name in ("tau", "share", "mean", "variance")
    )
    wanted = np.array((*LEVEL_AT, *NEXT_FILL_AT))
    of_next = (np.arange(len(wanted)) >= len(LEVEL_AT))[:, None]
    left_open = np.array([source.open for source in sources])[:, None]
    spread = np.sqrt((variance + left_open)[:, None] + of_next * (tau**2)[:, None])
    mean, weight = mean[:, None], share[:, :, None]
    centre = mean @ weight
    width = np.sqrt((spread**2 + (mean - centre) ** 2) @ weight)[:, :, 0]
    middle = centre[:, :, 0] + width * [quantile(p) for p in wanted]
    low, high = (mean - FAR * spread).min(axis=2), (mean + FAR * spread).max(axis=2)
    settled = np.zeros((len(sources), 1), dtype=bool)
    for _ in range(MOST_STEPS):
        reached, dense = distribution_and_density(middle[:, :, None] - mean, spread)
        excess = (reached @ weight)[:, :, 0] - wanted
        low, high = np.where(excess < 0.0, middle, low), np.where(excess < 0.0, high, middle)
        following = middle - excess / (dense @ weight)[:, :, 0]
        following = np.where((low <= following) & (following <= high), following, (low + high) / 2.0)
        following = np.where(settled, middle, following)
        settled = np.abs(following - middle).max(axis=1, keepdims=True) < SETTLED
        middle = following
        if settled.all():
            break
    return cast(list[list[float]], middle.tolist())


def _people(visits: Columns, which: NDArray[np.bool_]) -> int:
    return len(set(visits.who if which.all() else compress(visits.who, which.tolist())))


def _evidence(visits: Columns, which: NDArray[np.bool_], people: int) -> int:
    days = visits.day[which]
    return sum((len(days) >= 4, float(days.max() - days.min()) >= 21.0, people >= 2)) if people else 0
