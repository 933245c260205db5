"""Where the level of a source lies and how far its deliveries scatter, on a grid that follows the visits.

Visits x_i with own uncertainties u_i follow mu + scatter tau + noise u_i, and now and then one is simply wrong (as in
G. E. P. Box and G. C. Tiao, Biometrika 55, 1968). How wrong follows a Cauchy distribution: with a misplaced point it is
seventy points, and a normal distribution would rather have all deliveries scatter than believe in that.
Many visits make a sharp hump, few a wide one. So a rough look finds the hump, and a grid of few points is
laid on it: over a smooth hump, a sum over points about a standard deviation apart is as good as the integral (L. N.
Trefethen and J. A. C. Weideman, SIAM Review 56, 2014). Scatters lie in equal ratios of tau and a usual u_i together,
where tau is known about equally well everywhere, from nothing up.
"""

from dataclasses import dataclass
from math import exp, hypot, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from splitline.statistics.robust import weighted_middle

MU_POINTS, TAU_POINTS, ROUGH_POINTS = 9, 12, 14
# The largest tau that is thought of, %.
TAU_MOST = 20.0
# The rough look takes the visits for so many at most: their hump is then no narrower than the steps.
ROUGH_VISITS = 10.0
# The grid reaches so many standard deviations to either side; that of mu further, as its middle may be off.
REACH, MIDDLE_OFF = 4.0, 1.5
# How often a reading is wrong, and by how much half of those are, %: from memory, no source.
WRONG, WRONG_BY = 0.05, 8.0
# A visit that is rather wrong than not is told as such.
RATHER = 0.5
# Visits that are computed together: what they take stays near the processor.
AT_ONCE = 64
# Of the prior of tau. 1 would be a half-Cauchy distribution; the sources of a region are more alike: from memory.
SHARPNESS = 1.5
MU_STEPS = np.linspace(-1.0, 1.0, MU_POINTS)
TAU_ENDS, ROUGH_ENDS = np.linspace(0.0, 1.0, TAU_POINTS + 1), np.linspace(0.0, 1.0, ROUGH_POINTS + 1)

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Posterior:
    """By tau, %: its share, of 1, and the mean and variance of mu there, % and %^2.

    ends: of the steps that the taus are the middles of, as the logarithm of tau and `usual` together. wrong: which
    visits, counted from 0, are rather gross errors than not.
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
    """Return what visits tell; prior_scale: of the prior of tau, %.

    deviations: from the season, %. own: standard uncertainties, %, > 0. weights: how much each visit counts, > 0.
    """
    usual, whole = float(own.sum()) / len(own), float(weights.sum())
    middle = weighted_middle(deviations.tolist(), weights.tolist())
    off = deviations - middle
    ends, about, better = _rough_look(off, own, weights, usual, prior_scale)
    off -= better
    tau, total, log_prior = _scatters(ends, usual, prior_scale)
    variances = own**2 + (tau**2)[:, None]
    reach = (REACH * total + MIDDLE_OFF * about) / sqrt(whole)
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
    doubtful = np.flatnonzero(share @ (wrong / (right + wrong)) > RATHER)
    return Posterior(tau, share, middle + better + mean, variance, ends, usual, tuple(doubtful.tolist()))


def _rough_look(off: Array, own: Array, weights: Array, usual: float, prior_scale: float) -> tuple[Array, float, float]:
    """The ends of the steps of tau, about how far visits scatter, and a better middle of mu than 0: one step of the EM
    algorithm on.
    """
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
    """In the middle of each step: tau, tau and `usual` together, and the logarithm of the prior.

    The prior is (tau / (1 + (tau / scale)^2))^sharpness on a logarithmic scale of tau.
    """
    total = np.exp((ends[:-1] + ends[1:]) / 2.0)
    tau = np.sqrt(total**2 - usual**2)
    log_prior = SHARPNESS * (np.log(tau) - np.log1p((tau / prior_scale) ** 2))
    # Equal steps of log total are shorter or longer steps of log tau.
    return tau, total, log_prior + 2.0 * (np.log(total) - np.log(tau))


def _tau_of(place: float, usual: float) -> float:
    return sqrt(max(exp(2.0 * place) - usual**2, 0.0))


def _densities(off: Array, variances: Array) -> tuple[Array, Array]:
    """Densities, up to a common factor, of visits so far off that are right, in the place of `off`, and wrong."""
    off *= off
    wrong = off * (1.0 / WRONG_BY**2)
    wrong += 1.0
    np.divide(WRONG * sqrt(2.0 / pi) / WRONG_BY, wrong, out=wrong)
    off *= -0.5 / variances
    np.exp(off, out=off)
    off *= (1.0 - WRONG) / np.sqrt(variances)
    return off, wrong
