"""The posterior of a source's level and of the scatter of its deliveries, on a grid adapted to the visits.

Visits x_i with own uncertainties u_i follow mu + scatter tau + noise u_i; a few are gross errors (as in G. E. P. Box
and G. C. Tiao, Biometrika 55, 1968). Gross errors follow a Cauchy distribution: a misplaced decimal point is an error
of seventy points, and with a normal distribution the model would explain that by scatter of all deliveries.
The posterior is narrow with many visits and wide with few. So a rough grid locates it first, and a fine grid of few
points covers it: for a smooth density, a sum over points about a standard deviation apart is as good as the integral
(L. N. Trefethen and J. A. C. Weideman, SIAM Review 56, 2014). The grid of tau is uniform in log hypot(tau, usual u_i),
in which tau is about equally well known everywhere, from zero up.
"""

from dataclasses import dataclass
from math import exp, hypot, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import weighted_middle

MU_POINTS, TAU_POINTS, ROUGH_POINTS = 9, 12, 14
# Largest tau on the grid, %.
TAU_MOST = 20.0
# The rough grid counts the visits as at most this many, so that the posterior is not narrower than a step.
ROUGH_VISITS = 10.0
# Half-width of the grid in standard deviations; that of mu is wider, since its centre is only approximate.
REACH, MIDDLE_OFF = 4.0, 1.5
# Probability of a gross error, and the median of its size, %: from memory, no source.
WRONG, WRONG_BY = 0.06, 8.0
# Visits with a higher probability of being a gross error are reported as outliers.
LIKELY_WRONG = 0.5
# Visits per chunk: the arrays then fit into the processor's cache.
AT_ONCE = 64
# Exponent of the prior of tau. 1 would be half-Cauchy; the sources of a region are more alike: from memory.
SHARPNESS = 1.5
MU_STEPS = np.linspace(-1.0, 1.0, MU_POINTS)
TAU_ENDS, ROUGH_ENDS = np.linspace(0.0, 1.0, TAU_POINTS + 1), np.linspace(0.0, 1.0, ROUGH_POINTS + 1)

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Posterior:
    """For each tau, %: its probability, and the conditional mean and variance of mu, % and %^2.

    ends: edges of the steps around the taus, as log hypot(tau, usual). wrong: indices, from 0, of the visits that are
    probably gross errors.
    """

    tau: Array
    share: Array
    mean: Array
    variance: Array
    ends: Array
    usual: float
    wrong: tuple[int, ...]

    def tau_at(self, probabilities: tuple[float, ...]) -> list[float]:
        """Return quantiles of tau, %."""
        reached = np.concatenate([[0.0], np.cumsum(self.share)])
        places: list[float] = np.interp(probabilities, reached, self.ends).tolist()
        return [_tau_of(place, self.usual) for place in places]


def posterior_of(deviations: Array, own: Array, weights: Array, prior_scale: float) -> Posterior:
    """Return the posterior given some visits; prior_scale: scale of the prior of tau, %.

    deviations: from the season, %. own: standard uncertainties, %, > 0. weights: how much each visit counts, > 0.
    """
    # Weighted: a few strangers with uncertain tubes would make the steps of tau too coarse for everybody else.
    total_weight = float(weights.sum())
    usual = float(weights @ own) / total_weight
    middle = weighted_middle(deviations.tolist(), weights.tolist())
    off = deviations - middle
    ends, about, better = _rough_look(off, own, weights, usual, prior_scale)
    off -= better
    tau, total, log_prior = _scatters(ends, usual, prior_scale)
    variances = own**2 + (tau**2)[:, None]
    reach = (REACH * total + MIDDLE_OFF * about) / sqrt(total_weight)
    mu = reach[:, None] * MU_STEPS
    dense = np.zeros(mu.shape) + (log_prior + np.log(reach))[:, None]
    for some in (slice(start, start + AT_ONCE) for start in range(0, len(off), AT_ONCE)):
        right, wrong = _densities(off[some] - mu[:, :, None], variances[:, None, some])
        right += wrong
        dense += np.log(right, out=right) @ weights[some]
    each = np.exp(dense - dense.max())
    share = each.sum(axis=1)
    mean = (each * mu).sum(axis=1) / share
    variance = (each * (mu - mean[:, None]) ** 2).sum(axis=1) / share
    share /= share.sum()
    right, wrong = _densities(off - mean[:, None], variances)
    doubtful = np.flatnonzero(share @ (wrong / (right + wrong)) > LIKELY_WRONG)
    return Posterior(tau, share, middle + better + mean, variance, ends, usual, tuple(doubtful.tolist()))


def _rough_look(off: Array, own: Array, weights: Array, usual: float, prior_scale: float) -> tuple[Array, float, float]:
    """The edges of the steps of tau, a rough scatter of the visits, and a better centre of mu than 0 (one EM step)."""
    least, most = log(usual), log(hypot(usual, TAU_MOST))
    tau, total, log_prior = _scatters(least + (most - least) * ROUGH_ENDS, usual, prior_scale)
    variances = own**2 + (tau**2)[:, None]
    right, wrong = _densities(off[None].repeat(ROUGH_POINTS, 0), variances)
    both = right + wrong
    few = min(1.0, ROUGH_VISITS / float(weights.sum()))
    places = np.log(total)
    dense = few * (np.log(both) @ weights + log_prior + places)
    share = np.exp(dense - dense.max())
    share /= share.sum()
    mean = float(share @ places)
    reach = REACH * sqrt(few * float(share @ (places - mean) ** 2))
    low, high = max(least, mean - reach), min(most, mean + reach)
    pull = weights * (share @ (right / variances / both))
    return low + (high - low) * TAU_ENDS, exp(mean), float(pull @ off / pull.sum())


def _scatters(ends: Array, usual: float, prior_scale: float) -> tuple[Array, Array, Array]:
    """At the middle of each step: tau, hypot(tau, usual), and the logarithm of the prior.

    The prior is (tau / (1 + (tau / scale)^2))^sharpness on a logarithmic scale of tau.
    """
    total = np.exp((ends[:-1] + ends[1:]) / 2.0)
    tau = np.sqrt(total**2 - usual**2)
    log_prior = SHARPNESS * (np.log(tau) - np.log1p((tau / prior_scale) ** 2))
    # Jacobian: the prior is a density in log tau, the steps are equal in log total.
    return tau, total, log_prior + 2.0 * (np.log(total) - np.log(tau))


def _tau_of(place: float, usual: float) -> float:
    return sqrt(max(exp(2.0 * place) - usual**2, 0.0))


def _densities(off: Array, variances: Array) -> tuple[Array, Array]:
    """Densities, up to a common factor, of good readings and of gross errors; the first overwrites `off`."""
    off *= off
    wrong = off * (1.0 / WRONG_BY**2)
    wrong += 1.0
    np.divide(WRONG * sqrt(2.0 / pi) / WRONG_BY, wrong, out=wrong)
    off *= -0.5 / variances
    np.exp(off, out=off)
    off *= (1.0 - WRONG) / np.sqrt(variances)
    return off, wrong
