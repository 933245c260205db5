"""How steady is a source: what its next fill will hold, and how far deliveries scatter.

Visits x_i with own uncertainties u_i follow mu + season + delivery-to-delivery scatter tau + noise u_i, and now and
then one is simply wrong: with a small probability its spread is far larger (contaminated normal distribution:
G. E. P. Box and G. C. Tiao, Biometrika 55, 1968). The posterior of (mu, tau) is computed on a grid; every figure is
read off that grid. Visits that may have met the same delivery are no independent draws of it, so each counts by how
many others lie near it. What all visits with a tube share (its marks, the fuel's water, temperature) and what is not
known of the season widen the level and the next fill, never the scatter.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import cast

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.normal import distribution_and_density, quantile
from splitline.statistics.robust import MAD_TO_SD, weighted_middle
from splitline.statistics.season import Season, at_days, unknown_of
from splitline.statistics.visits import ESTABLISHED, Visit, heavy_of, weights_of

MU_POINTS = 61
TAU_POINTS = 24
TAU_LEAST, TAU_MOST = 0.05, 20.0
MU_STEPS = np.linspace(-1.0, 1.0, MU_POINTS)
TAU = TAU_LEAST * (TAU_MOST / TAU_LEAST) ** (np.arange(TAU_POINTS) / (TAU_POINTS - 1.0))
# Sources whose next fills are computed together.
AT_ONCE = 20
# Of Newton's steps, or halvings where these would leave the bracket.
MOST_STEPS = 60
# A tau less likely than this does not move the next fill, and its moments are rounding noise.
LEAST_WEIGHT = 1e-15
# Scale of the prior of tau in %, until a region teaches its own: from memory, no source.
PRIOR_SCALE = 2.0
# The prior is (tau / (1 + (tau / scale)^2))^sharpness on a logarithmic scale. 1 would be a half-Cauchy distribution;
# the sources of a region are more alike than that: from memory, no source.
PRIOR_SHARPNESS = 2.0
# How often a reading is wrong, and by how much then, a standard deviation in %: from memory, no source.
WRONG, WRONG_BY = 0.05, 8.0
# Further off than this, %, is as wrong as can be.
FARTHEST = 150.0
# A visit that is rather wrong than not is told as such.
RATHER = 0.5
# Probabilities at which the next fill's distribution is kept.
NEXT_FILL_AT = (0.005, *(round(0.05 * k, 2) for k in range(1, 20)), 0.995)


@dataclass(frozen=True, slots=True)
class Estimate:
    """What is known of one source, contents in % (V/V).

    typical and its 90 % interval; tau with its 90 % interval and upper 80 % bound; the 90 % interval of the next fill,
    whose lower end is the floor; the next fill's quantiles at `NEXT_FILL_AT`; evidence 0..3: how many of four visits,
    four weeks, two contributors, of those who are established (see `influence`). season_uncertainty: standard, what the
    season leaves open of the present level. wrong: which visits, counted from 0, are rather gross errors than not.
    established: how many of the contributors are. heaviest: how much whoever counts most counts, 0..1.
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
    """A source as its figures are made: its visits, one at least, and what its region teaches, see `estimate`."""

    visits: Sequence[Visit]
    season: Season | None = None
    prior_scale: float = PRIOR_SCALE


@dataclass(frozen=True, slots=True)
class _Posterior:
    """On the grid, mu by tau. open: variance that the season and what tubes share leave to the level, %^2."""

    mu: NDArray[np.float64]
    weight: NDArray[np.float64]
    season: float
    open: float
    wrong: tuple[int, ...]


def estimate(
    visits: Sequence[Visit], now_day: float, season: Season | None = None, prior_scale: float = PRIOR_SCALE
) -> Estimate | None:
    """Return what the visits tell of a source, or None without visits.

    now_day: days since 1970-01-01 UTC. season: of its region, flat and certain if None. prior_scale: scale of the prior
    of tau, %.
    """
    return estimates([Observed(visits, season, prior_scale)], now_day)[0] if visits else None


def estimates(sources: Sequence[Observed], now_day: float) -> list[Estimate]:
    """Return what the visits of each source tell, in order; each has some.

    now_day: days since 1970-01-01 UTC.
    """
    found: list[Estimate] = []
    for start in range(0, len(sources), AT_ONCE):
        some = sources[start : start + AT_ONCE]
        posteriors = [_posterior_of(source, now_day) for source in some]
        next_fills = _next_fills(posteriors, NEXT_FILL_AT)
        found += [_estimate(*of_one, now_day) for of_one in zip(some, posteriors, next_fills, strict=True)]
    return found


def _estimate(source: Observed, posterior: _Posterior, next_fill: list[float], now_day: float) -> Estimate:
    visits = source.visits
    level = float(at_days(source.season, [now_day])[0]) if source.season else 0.0
    mu_weight, tau_weight = posterior.weight.sum(axis=1), posterior.weight.sum(axis=0)
    typical = float(np.dot(posterior.mu, mu_weight))
    low, high = (q - typical for q in _on_grid(posterior.mu, mu_weight, (0.05, 0.95)))
    tau_low, tau, tau_bound, tau_high = _on_grid(TAU, tau_weight, (0.05, 0.5, 0.8, 0.95))
    quantiles = tuple(level + q for q in next_fill)
    return Estimate(
        typical=level + typical,
        typical_interval=(
            level + typical - sqrt(low**2 + 1.645**2 * posterior.open),
            level + typical + sqrt(high**2 + 1.645**2 * posterior.open),
        ),
        tau=tau,
        tau_interval=(tau_low, tau_high),
        tau_bound=tau_bound,
        next_fill=(quantiles[1], quantiles[-2]),
        floor=quantiles[1],
        next_fill_quantiles=quantiles,
        visits=len(visits),
        contributors=_people(visits),
        evidence=_evidence(known := [visit for visit in visits if visit.weight >= ESTABLISHED]),
        established=_people(known),
        heaviest=max(visit.weight for visit in visits),
        last_sampled_at=max(visit.sampled_at for visit in visits),
        season_uncertainty=sqrt(posterior.season),
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


def _posterior_of(source: Observed, now_day: float) -> _Posterior:
    """The grid: mu around the median, wide enough for few visits; tau in equal ratios."""
    visits, weights = source.visits, weights_of(source.visits)
    days = [visit.sampled_at for visit in visits]
    contents, own, shared = np.array([visit[1:4] for visit in visits]).T
    deviations = contents - at_days(source.season, days) if source.season else contents
    # By weight, so that nobody's many visits draw the grid away from what others found.
    centre = weighted_middle(deviations.tolist(), weights)
    spread = MAD_TO_SD * weighted_middle(np.abs(deviations - centre).tolist(), weights)
    width = max(spread, float(own.mean()), 1.0)
    mu = centre + (10.0 * width / sqrt(sum(weights)) + 2.0) * MU_STEPS
    log_weight = PRIOR_SHARPNESS * (np.log(TAU) - np.log1p((TAU / source.prior_scale) ** 2)) + np.zeros((MU_POINTS, 1))
    density, wrong = _densities(np.clip(deviations[:, None] - mu, -FARTHEST, FARTHEST), own)
    log_weight += np.tensordot(np.array(weights), np.log(density), axes=1)
    share = np.exp(log_weight - log_weight.max())
    share /= share.sum()
    doubt = np.einsum("im,imt->i", wrong, share / density)
    people = _people([visit for visit, is_heavy in zip(visits, heavy_of(visits), strict=True) if is_heavy])
    season = unknown_of(source.season, days, weights, now_day) if source.season else 0.0
    is_wrong = tuple(np.flatnonzero(doubt > RATHER).tolist())
    return _Posterior(mu, share, season, season + float((shared**2).mean()) / people, is_wrong)


def _densities(off: NDArray[np.float64], own: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Densities, up to a common factor, of each visit, [visit, mu, tau], and of it as a wrong one, [visit, mu].

    A wrong one is so far off that it makes no difference how far deliveries scatter.
    """
    variance = own[:, None] ** 2 + TAU**2
    square = off**2
    density = square[:, :, None] * (-0.5 / variance)[:, None, :]
    np.exp(density, out=density)
    density *= ((1.0 - WRONG) / np.sqrt(variance))[:, None, :]
    wrong = WRONG / WRONG_BY * np.exp(-0.5 / WRONG_BY**2 * square)
    density += wrong[:, :, None]
    return density, wrong


def _on_grid(points: NDArray[np.float64], weight: NDArray[np.float64], probabilities: Sequence[float]) -> list[float]:
    """Quantiles of a distribution on grid points, each point's weight spread evenly around it."""
    cumulative = np.cumsum(weight) - weight / 2.0
    return [float(q) for q in np.interp(probabilities, cumulative, points)]


def _next_fills(posteriors: Sequence[_Posterior], probabilities: Sequence[float]) -> list[list[float]]:
    """Quantiles of the next fill of each source: a mixture of normals over the grid, by bracketed Newton steps.

    Arrays have a source, then a quantile, then a tau. A source that is settled stays as it is, as if it were alone.
    """
    mu, weight = np.stack([p.mu for p in posteriors]), np.stack([p.weight for p in posteriors])
    tau_weight = weight.sum(axis=1)
    tau_weight[tau_weight <= LEAST_WEIGHT] = 0.0
    each = np.where(tau_weight, tau_weight, np.inf)
    mean, square = ((power[:, None] @ weight)[:, 0] / each for power in (mu, mu**2))
    left_open = np.array([p.open for p in posteriors])[:, None]
    spread = np.sqrt(TAU**2 + np.maximum(square - mean**2, 0.0) + left_open)
    centre = (mean * tau_weight).sum(axis=1)
    width = np.sqrt(((spread**2 + (mean - centre[:, None]) ** 2) * tau_weight).sum(axis=1))
    wanted = np.array(probabilities)
    middle = centre[:, None] + width[:, None] * [quantile(p) for p in probabilities]
    low, high = (np.broadcast_to(end[:, None], middle.shape) for end in (mu[:, 0] - 400.0, mu[:, -1] + 400.0))
    settled = np.zeros((len(posteriors), 1), dtype=bool)
    for _ in range(MOST_STEPS):
        reached, dense = distribution_and_density(middle[:, :, None] - mean[:, None], spread[:, None])
        excess = (reached @ tau_weight[:, :, None])[:, :, 0] - wanted
        low, high = np.where(excess < 0.0, middle, low), np.where(excess < 0.0, high, middle)
        following = middle - excess / (dense @ tau_weight[:, :, None])[:, :, 0]
        following = np.where((low <= following) & (following <= high), following, (low + high) / 2.0)
        following = np.where(settled, middle, following)
        settled = np.abs(following - middle).max(axis=1, keepdims=True) < 1e-12
        middle = following
        if settled.all():
            break
    return cast(list[list[float]], middle.tolist())


def _people(visits: Sequence[Visit]) -> int:
    return len({visit.contributor for visit in visits})


def _evidence(visits: Sequence[Visit]) -> int:
    if not visits:
        return 0
    days = [visit.sampled_at for visit in visits]
    return sum((len(visits) >= 4, max(days) - min(days) >= 21.0, _people(visits) >= 2))
