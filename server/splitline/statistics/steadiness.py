"""How steady is a source: what its next fill will hold, and how far deliveries scatter.

Visits x_i with own uncertainties u_i follow mu + delivery-to-delivery scatter tau + noise u_i. The posterior of
(mu, tau) is computed on a grid with a heavy-tailed likelihood; every figure is read off that grid.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import mad_spread, median
from splitline.statistics.student import density, distribution, log_densities, quantile
from splitline.statistics.visits import Visit, weights_of

MU_POINTS = 121
TAU_POINTS = 40
TAU_LEAST, TAU_MOST = 0.05, 20.0
MU_STEPS = np.linspace(-1.0, 1.0, MU_POINTS)
TAU = TAU_LEAST * (TAU_MOST / TAU_LEAST) ** (np.arange(TAU_POINTS) / (TAU_POINTS - 1.0))
# Of Newton's steps, or halvings where these would leave the bracket.
MOST_STEPS = 60
# A tau less likely than this does not move the next fill, and its moments are rounding noise.
LEAST_WEIGHT = 1e-15
# Scale of the prior of tau in %, until a region teaches its own: from memory, no source.
PRIOR_SCALE = 2.0
# The prior is (tau / (1 + (tau / scale)^2))^sharpness on a logarithmic scale. 1 would be a half-Cauchy distribution;
# the sources of a region are more alike than that: from memory, no source.
PRIOR_SHARPNESS = 2.0
# Where the 90 % interval of tau is read: for normal scatter the t4 posterior of tau is 1.17 times too wide, the root of
# E[-l''] / E[l'^2] = 1.3667 (computed), so 1.645 / 1.17 standard deviations are taken instead of 1.645.
TAU_LOW, TAU_HIGH = 0.08, 0.92
# Probabilities at which the next fill's distribution is kept.
NEXT_FILL_AT = (0.005, *(round(0.05 * k, 2) for k in range(1, 20)), 0.995)


@dataclass(frozen=True, slots=True)
class Estimate:
    """What is known of one source, contents in % (V/V).

    typical and its 90 % interval; tau with its 90 % interval and upper 80 % bound; the 90 % interval of the next fill,
    whose lower end is the floor; the next fill's quantiles at `NEXT_FILL_AT`; evidence 0..3: how many of four visits,
    four weeks, two contributors.
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


@dataclass(frozen=True, slots=True)
class _Posterior:
    mu: NDArray[np.float64]
    tau: NDArray[np.float64]
    weight: NDArray[np.float64]


def flat(_day: float) -> float:
    """The baseline of a region whose season is not known."""
    return 0.0


def estimate(
    visits: Sequence[Visit],
    now_day: float,
    baseline: Callable[[float], float] = flat,
    prior_scale: float = PRIOR_SCALE,
) -> Estimate | None:
    """Return what the visits tell of a source, or None without visits.

    now_day: days since 1970-01-01 UTC. baseline: what the season alone makes of the content, % by day.
    prior_scale: scale of the prior of tau, %.
    """
    if not visits:
        return None
    deviations = [visit.content - baseline(visit.sampled_at) for visit in visits]
    posterior = _posterior(deviations, [visit.own_uncertainty for visit in visits], weights_of(visits), prior_scale)
    level = baseline(now_day)
    mu_weight, tau_weight = posterior.weight.sum(axis=1), posterior.weight.sum(axis=0)
    typical = float(np.dot(posterior.mu, mu_weight))
    contributors = len({visit.contributor for visit in visits})
    shared = sqrt(sum(visit.shared_uncertainty**2 for visit in visits) / len(visits) / contributors)
    low, high = (q - typical for q in _on_grid(posterior.mu, mu_weight, (0.05, 0.95)))
    tau_low, tau, tau_bound, tau_high = _on_grid(posterior.tau, tau_weight, (TAU_LOW, 0.5, 0.8, TAU_HIGH))
    quantiles = tuple(level + q for q in _next_fill(posterior, NEXT_FILL_AT))
    return Estimate(
        typical=level + typical,
        typical_interval=(
            level + typical - sqrt(low**2 + (1.645 * shared) ** 2),
            level + typical + sqrt(high**2 + (1.645 * shared) ** 2),
        ),
        tau=tau,
        tau_interval=(tau_low, tau_high),
        tau_bound=tau_bound,
        next_fill=(quantiles[1], quantiles[-2]),
        floor=quantiles[1],
        next_fill_quantiles=quantiles,
        visits=len(visits),
        contributors=contributors,
        evidence=_evidence(visits, contributors),
        last_sampled_at=max(visit.sampled_at for visit in visits),
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


def _posterior(
    deviations: list[float], uncertainties: list[float], weights: list[float], prior_scale: float
) -> _Posterior:
    """The grid: mu around the median, wide enough for few visits; tau in equal ratios."""
    count = len(deviations)
    width = max(mad_spread(deviations), sum(uncertainties) / count, 1.0)
    mu = median(deviations) + (12.0 * width / sqrt(count) + 2.0) * MU_STEPS
    log_weight = PRIOR_SHARPNESS * (np.log(TAU) - np.log1p((TAU / prior_scale) ** 2)) + np.zeros((MU_POINTS, 1))
    off, own, each = np.array(deviations)[:, None] - mu, np.array(uncertainties), np.array(weights)
    for weight in sorted(set(weights)):
        alike = each == weight
        log_weight += weight * log_densities(off[alike], own[alike], TAU)
    share = np.exp(log_weight - log_weight.max())
    return _Posterior(mu, TAU, share / share.sum())


def _on_grid(points: NDArray[np.float64], weight: NDArray[np.float64], probabilities: Sequence[float]) -> list[float]:
    """Quantiles of a distribution on grid points, each point's weight spread evenly around it."""
    cumulative = np.cumsum(weight) - weight / 2.0
    return [float(q) for q in np.interp(probabilities, cumulative, points)]


def _next_fill(posterior: _Posterior, probabilities: Sequence[float]) -> list[float]:
    """Quantiles of the next fill: a mixture of t4 over the grid, by bracketed Newton steps."""
    tau_weight = posterior.weight.sum(axis=0)
    likely = tau_weight > LEAST_WEIGHT
    weight, tau_weight, tau = posterior.weight[:, likely], tau_weight[likely], posterior.tau[likely]
    mean_by_tau = posterior.mu @ weight / tau_weight
    variance_by_tau = (posterior.mu**2) @ weight / tau_weight - mean_by_tau**2
    spread_by_tau = np.sqrt(tau**2 + np.maximum(variance_by_tau, 0.0))
    wanted = np.array(probabilities)
    low = np.full(len(wanted), float(posterior.mu[0]) - 400.0)
    high = np.full(len(wanted), float(posterior.mu[-1]) + 400.0)
    centre = float(mean_by_tau @ tau_weight)
    spread = sqrt(float((spread_by_tau**2 + (mean_by_tau - centre) ** 2) @ tau_weight))
    middle = centre + spread * np.array([quantile(p) for p in probabilities])
    for _ in range(MOST_STEPS):
        away = middle[:, None] - mean_by_tau
        excess = distribution(away, spread_by_tau) @ tau_weight - wanted
        low, high = np.where(excess < 0.0, middle, low), np.where(excess < 0.0, high, middle)
        following = middle - excess / (density(away, spread_by_tau) @ tau_weight)
        following = np.where((low <= following) & (following <= high), following, (low + high) / 2.0)
        moved = np.abs(following - middle).max()
        middle = following
        if moved < 1e-12:
            break
    return [float(q) for q in middle]


def _evidence(visits: Sequence[Visit], contributors: int) -> int:
    days = [visit.sampled_at for visit in visits]
    return sum((len(visits) >= 4, max(days) - min(days) >= 21.0, contributors >= 2))
