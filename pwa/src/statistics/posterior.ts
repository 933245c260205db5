// The posterior of a source's level and of the scatter of its deliveries, on a grid adapted to the visits.
// Counterpart of statistics/posterior.py, which explains the model.
import { dot } from "./matrix";
import { weighted_middle } from "./robust";

export const MU_POINTS = 9;
export const TAU_POINTS = 12;
export const ROUGH_POINTS = 14;
export const TAU_MOST = 20;
export const ROUGH_VISITS = 10;
export const REACH = 4;
export const MIDDLE_OFF = 1.5;
export const WRONG = 0.06;
export const WRONG_BY = 8;
export const LIKELY_WRONG = 0.5;
export const SHARPNESS = 1.5;
const MU_STEPS: readonly number[] = Array.from({ length: MU_POINTS }, (_, i) => -1 + (2 * i) / (MU_POINTS - 1));

/** A visit without its season: %; own: standard uncertainty, %, > 0; weight: > 0. */
export interface Observation {
  readonly deviation: number;
  readonly own: number;
  readonly weight: number;
}

/** One tau, %: its probability, and the conditional mean and variance of mu, % and %^2. */
export interface Given {
  readonly tau: number;
  readonly share: number;
  readonly mean: number;
  readonly variance: number;
}

/** ends: edges of the steps of tau, as log hypot(tau, usual). wrong: indices of the visits that are gross errors. */
export interface Posterior {
  readonly given: readonly Given[];
  readonly ends: readonly number[];
  readonly usual: number;
  readonly wrong: readonly number[];
}

interface Scatter {
  readonly tau: number;
  readonly total: number;
  readonly log_prior: number;
}

/** Return the posterior given some visits; prior_scale: scale of the prior of tau, %. */
export function posterior_of(observations: readonly Observation[], prior_scale: number): Posterior {
  const weights = observations.map(({ weight }) => weight);
  const total_weight = sum(weights);
  const usual = sum(observations.map(({ own, weight }) => own * weight)) / total_weight;
  const middle = weighted_middle(
    observations.map(({ deviation }) => deviation),
    weights,
  );
  const around = observations.map((one) => ({ ...one, deviation: one.deviation - middle }));
  const { ends, about, better } = rough_look(around, usual, prior_scale);
  const off = around.map((one) => ({ ...one, deviation: one.deviation - better }));
  const columns = scatters_of(ends, usual, prior_scale).map(({ tau, total, log_prior }) => {
    const reach = (REACH * total + MIDDLE_OFF * about) / Math.sqrt(total_weight);
    const points = MU_STEPS.map((step) => {
      const mu = reach * step;
      const told_there = sum(
        off.map((one) => one.weight * Math.log(density_of(one.deviation - mu, one.own, tau).both)),
      );
      return { mu, dense: told_there + log_prior + Math.log(reach) };
    });
    return { tau, points };
  });
  const most = Math.max(...columns.flatMap(({ points }) => points.map(({ dense }) => dense)));
  const moments = columns.map(({ tau, points }) => {
    const each = points.map(({ dense }) => Math.exp(dense - most));
    const share = sum(each);
    const mean = sum(points.map(({ mu }, i) => (each[i] as number) * mu)) / share;
    return {
      tau,
      share,
      mean,
      variance: sum(points.map(({ mu }, i) => (each[i] as number) * (mu - mean) ** 2)) / share,
    };
  });
  const all = sum(moments.map(({ share }) => share));
  const wrong = off.flatMap((one, v) => {
    const doubts = moments.map(({ tau, share, mean }) => {
      const { right, both } = density_of(one.deviation - mean, one.own, tau);
      return (share / all) * (1 - right / both);
    });
    return sum(doubts) > LIKELY_WRONG ? v : [];
  });
  const given = moments.map((one) => ({ ...one, share: one.share / all, mean: middle + better + one.mean }));
  return { given, ends, usual, wrong };
}

/** Return a quantile of tau, %. */
export function tau_at({ given, ends, usual }: Posterior, probability: number): number {
  let before = 0;
  for (const [k, { share }] of given.entries()) {
    if (probability <= before + share) {
      const low = ends[k] as number;
      const place = low + ((probability - before) / share) * ((ends[k + 1] as number) - low);
      return Math.sqrt(Math.max(Math.exp(2 * place) - usual ** 2, 0));
    }
    before += share;
  }
  return Math.sqrt(Math.exp(2 * (ends.at(-1) as number)) - usual ** 2);
}

/** The edges of the steps of tau, a rough scatter of the visits, and a better centre of mu than 0, by one EM step. */
function rough_look(off: readonly Observation[], usual: number, prior_scale: number) {
  const least = Math.log(usual);
  const most = Math.log(Math.hypot(usual, TAU_MOST));
  const scatters = scatters_of(steps_of(least, most, ROUGH_POINTS), usual, prior_scale);
  const few = Math.min(1, ROUGH_VISITS / sum(off.map(({ weight }) => weight)));
  const densities = scatters.map(({ tau }) => off.map(({ deviation, own }) => density_of(deviation, own, tau)));
  const dense = scatters.map(({ total, log_prior }, k) => {
    const log_likelihood = sum(off.map(({ weight }, v) => weight * Math.log(at(densities, k, v).both)));
    return few * (log_likelihood + log_prior + Math.log(total));
  });
  const peak = Math.max(...dense);
  const raw = dense.map((value) => Math.exp(value - peak));
  const share = raw.map((value) => value / sum(raw));
  const places = scatters.map(({ total }) => Math.log(total));
  const mean = dot(share, places);
  const spread = dot(
    share,
    places.map((place) => (place - mean) ** 2),
  );
  const reach = REACH * Math.sqrt(few * spread);
  const pulls = off.map(({ own, weight }, v) => {
    const each = scatters.map(({ tau }, k) => {
      const { right, both } = at(densities, k, v);
      return right / (own ** 2 + tau ** 2) / both;
    });
    return weight * dot(share, each);
  });
  const better = sum(off.map(({ deviation }, v) => (pulls[v] as number) * deviation)) / sum(pulls);
  const ends = steps_of(Math.max(least, mean - reach), Math.min(most, mean + reach), TAU_POINTS);
  return { ends, about: Math.exp(mean), better };
}

function steps_of(low: number, high: number, count: number): number[] {
  return Array.from({ length: count + 1 }, (_, k) => low + (high - low) * (k / count));
}

/** At the middle of each step: tau, hypot(tau, usual), and the logarithm of the prior. */
function scatters_of(ends: readonly number[], usual: number, prior_scale: number): Scatter[] {
  return ends.slice(1).map((end, k) => {
    const total = Math.exp(((ends[k] as number) + end) / 2);
    const tau = Math.sqrt(total ** 2 - usual ** 2);
    const log_prior = SHARPNESS * (Math.log(tau) - Math.log1p((tau / prior_scale) ** 2));
    // Jacobian: the prior is a density in log tau, the steps are equal in log total.
    return { tau, total, log_prior: log_prior + 2 * (Math.log(total) - Math.log(tau)) };
  });
}

interface Density {
  readonly right: number;
  readonly both: number;
}

/** Densities, up to a common factor, of a deviation: as a good reading, and as either a good one or a gross error. */
function density_of(off: number, own: number, tau: number): Density {
  const variance = own ** 2 + tau ** 2;
  const wrong = (WRONG * Math.sqrt(2 / Math.PI)) / WRONG_BY / (1 + (off / WRONG_BY) ** 2);
  const right = ((1 - WRONG) / Math.sqrt(variance)) * Math.exp((-0.5 * off ** 2) / variance);
  return { right, both: right + wrong };
}

function at<T>(rows: readonly (readonly T[])[], k: number, v: number): T {
  return (rows[k] as readonly T[])[v] as T;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
