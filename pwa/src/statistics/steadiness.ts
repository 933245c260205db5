// How steady is a source: what its next fill will hold, and how far deliveries scatter.
// Twin of statistics/steadiness.py, which explains the model.
import { mad_spread, median } from "./robust";
import { distribution, log_density } from "./student";
import { type Visit, weights_of } from "./visits";

export const MU_POINTS = 121;
export const TAU_POINTS = 40;
export const TAU_LEAST = 0.05;
export const TAU_MOST = 20;
export const BISECTIONS = 50;
/** A tau less likely than this does not move the next fill, and its moments are rounding noise. */
export const LEAST_WEIGHT = 1e-15;
export const PRIOR_SCALE = 2;
export const PRIOR_SHARPNESS = 2;
/** Where the 90 % interval of tau is read; steadiness.py explains why. */
export const TAU_LOW = 0.08;
export const TAU_HIGH = 0.92;
export const NEXT_FILL_AT: readonly number[] = [
  0.005,
  ...Array.from({ length: 19 }, (_, k) => (5 * (k + 1)) / 100),
  0.995,
];

/** What is known of one source, contents in % (V/V); steadiness.py explains each field. */
export interface Estimate {
  readonly typical: number;
  readonly typical_interval: readonly [number, number];
  readonly tau: number;
  readonly tau_interval: readonly [number, number];
  readonly tau_bound: number;
  readonly next_fill: readonly [number, number];
  readonly floor: number;
  readonly next_fill_quantiles: readonly number[];
  readonly visits: number;
  readonly contributors: number;
  readonly evidence: number;
  readonly last_sampled_at: number;
}

interface Posterior {
  readonly mu: readonly number[];
  readonly tau: readonly number[];
  /** weight[i][j] belongs to mu[i] and tau[j]; the whole sums to 1. */
  readonly weight: readonly (readonly number[])[];
}

/** The baseline of a region whose season is not known. */
export function flat(_day: number): number {
  return 0;
}

/** Return what the visits tell of a source, or null without visits; days since 1970-01-01 UTC. */
export function estimate(
  visits: readonly Visit[],
  now_day: number,
  baseline: (day: number) => number = flat,
  prior_scale: number = PRIOR_SCALE,
): Estimate | null {
  if (visits.length === 0) return null;
  const deviations = visits.map((visit) => visit.content - baseline(visit.sampled_at));
  const uncertainties = visits.map((visit) => visit.own_uncertainty);
  const posterior = posterior_of(deviations, uncertainties, weights_of(visits), prior_scale);
  const level = baseline(now_day);
  const mu_weight = posterior.weight.map(sum);
  const tau_weight = posterior.tau.map((_, j) => sum(posterior.weight.map((row) => row[j] as number)));
  const typical = dot(posterior.mu, mu_weight);
  const contributors = new Set(visits.map((visit) => visit.contributor)).size;
  const shared = Math.sqrt(sum(visits.map((visit) => visit.shared_uncertainty ** 2)) / visits.length / contributors);
  const low = on_grid(posterior.mu, mu_weight, 0.05) - typical;
  const high = on_grid(posterior.mu, mu_weight, 0.95) - typical;
  const quantiles = next_fill_of(posterior, tau_weight).map((quantile) => level + quantile);
  const next_fill: [number, number] = [quantiles[1] as number, quantiles.at(-2) as number];
  return {
    typical: level + typical,
    typical_interval: [
      level + typical - Math.sqrt(low ** 2 + (1.645 * shared) ** 2),
      level + typical + Math.sqrt(high ** 2 + (1.645 * shared) ** 2),
    ],
    tau: on_grid(posterior.tau, tau_weight, 0.5),
    tau_interval: [on_grid(posterior.tau, tau_weight, TAU_LOW), on_grid(posterior.tau, tau_weight, TAU_HIGH)],
    tau_bound: on_grid(posterior.tau, tau_weight, 0.8),
    next_fill,
    floor: next_fill[0],
    next_fill_quantiles: quantiles,
    visits: visits.length,
    contributors,
    evidence: evidence_of(visits, contributors),
    last_sampled_at: Math.max(...visits.map((visit) => visit.sampled_at)),
  };
}

/** Return the probability, 0.005..0.995, that the next fill holds at least `minimum` %. */
export function probability_at_least(quantiles: readonly number[], minimum: number): number {
  const at = (k: number) => NEXT_FILL_AT[k] as number;
  if (minimum <= (quantiles[0] as number)) return 1 - at(0);
  for (let k = 1; k < quantiles.length; k++) {
    const below = quantiles[k - 1] as number;
    const above = quantiles[k] as number;
    if (minimum <= above) return 1 - (at(k - 1) + ((minimum - below) / (above - below)) * (at(k) - at(k - 1)));
  }
  return 1 - at(NEXT_FILL_AT.length - 1);
}

function posterior_of(
  deviations: readonly number[],
  uncertainties: readonly number[],
  weights: readonly number[],
  prior_scale: number,
): Posterior {
  const count = deviations.length;
  const width = Math.max(mad_spread(deviations), sum(uncertainties) / count, 1);
  const reach = (12 * width) / Math.sqrt(count) + 2;
  const centre = median(deviations);
  const mu = Array.from({ length: MU_POINTS }, (_, i) => centre - reach + (2 * reach * i) / (MU_POINTS - 1));
  const tau = Array.from(
    { length: TAU_POINTS },
    (_, j) => TAU_LEAST * (TAU_MOST / TAU_LEAST) ** (j / (TAU_POINTS - 1)),
  );
  const prior = tau.map((t) => PRIOR_SHARPNESS * (Math.log(t) - Math.log1p((t / prior_scale) ** 2)));
  const log_weight = mu.map(() => [...prior]);
  deviations.forEach((deviation, v) => {
    const spread = tau.map((t) => Math.sqrt(t ** 2 + (uncertainties[v] as number) ** 2));
    const weight = weights[v] as number;
    mu.forEach((m, i) => {
      const row = log_weight[i] as number[];
      for (let j = 0; j < TAU_POINTS; j++)
        row[j] = (row[j] as number) + weight * log_density(deviation - m, spread[j] as number);
    });
  });
  const most = Math.max(...log_weight.map((row) => Math.max(...row)));
  const share = log_weight.map((row) => row.map((value) => Math.exp(value - most)));
  const total = sum(share.map(sum));
  return { mu, tau, weight: share.map((row) => row.map((value) => value / total)) };
}

/** The quantile of a distribution on grid points, each point's weight spread evenly around it. */
function on_grid(points: readonly number[], weight: readonly number[], probability: number): number {
  let before = 0;
  let last_at = Number.NaN;
  for (let k = 0; k < points.length; k++) {
    const at = before + (weight[k] as number) / 2;
    if (probability <= at) {
      if (k === 0) return points[0] as number;
      const share = (probability - last_at) / (at - last_at);
      return (points[k - 1] as number) + share * ((points[k] as number) - (points[k - 1] as number));
    }
    last_at = at;
    before += weight[k] as number;
  }
  return points.at(-1) as number;
}

/** Quantiles of the next fill: a mixture of t4 over the grid, by bisection. */
function next_fill_of(posterior: Posterior, tau_weight: readonly number[]): number[] {
  const moment = (power: number, j: number) =>
    sum(posterior.mu.map((m, i) => m ** power * ((posterior.weight[i] as readonly number[])[j] as number))) /
    (tau_weight[j] as number);
  const columns = posterior.tau.flatMap((tau, j) => {
    const weight = tau_weight[j] as number;
    if (weight <= LEAST_WEIGHT) return [];
    const mean = moment(1, j);
    return [{ weight, mean, spread: Math.sqrt(tau ** 2 + Math.max(moment(2, j) - mean ** 2, 0)) }];
  });
  const below = (value: number) => {
    let total = 0;
    for (const { weight, mean, spread } of columns) total += weight * distribution(value - mean, spread);
    return total;
  };
  return NEXT_FILL_AT.map((probability) => {
    let low = (posterior.mu[0] as number) - 400;
    let high = (posterior.mu.at(-1) as number) + 400;
    for (let turn = 0; turn < BISECTIONS; turn++) {
      const middle = (low + high) / 2;
      if (below(middle) < probability) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  });
}

function evidence_of(visits: readonly Visit[], contributors: number): number {
  const days = visits.map((visit) => visit.sampled_at);
  const weeks = Math.max(...days) - Math.min(...days);
  return Number(visits.length >= 4) + Number(weeks >= 21) + Number(contributors >= 2);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((total, value, k) => total + value * (b[k] as number), 0);
}
