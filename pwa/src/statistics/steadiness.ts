// How steady is a source: what its next fill will hold, and how far deliveries scatter.
// Twin of statistics/steadiness.py, which explains the model.
import { dot } from "./matrix";
import { distribution_and_density } from "./normal";
import { MAD_TO_SD, weighted_middle } from "./robust";
import { at_day, type Season, unknown_of } from "./season";
import { ESTABLISHED, heavy_of, type Visit, weight_in, weights_of } from "./visits";

export const MU_POINTS = 61;
export const TAU_POINTS = 24;
export const TAU_LEAST = 0.05;
export const TAU_MOST = 20;
export const BISECTIONS = 50;
/** A tau less likely than this does not move the next fill, and its moments are rounding noise. */
export const LEAST_WEIGHT = 1e-15;
export const PRIOR_SCALE = 2;
export const PRIOR_SHARPNESS = 2;
export const WRONG = 0.05;
export const WRONG_BY = 8;
export const FARTHEST = 150;
export const RATHER = 0.5;
export const NEXT_FILL_AT: readonly number[] = [
  0.005,
  ...Array.from({ length: 19 }, (_, k) => (5 * (k + 1)) / 100),
  0.995,
];
const GRID = MU_POINTS * TAU_POINTS;
const TAU: readonly number[] = Array.from(
  { length: TAU_POINTS },
  (_, j) => TAU_LEAST * (TAU_MOST / TAU_LEAST) ** (j / (TAU_POINTS - 1)),
);

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
  readonly season_uncertainty: number;
  readonly wrong: readonly number[];
  readonly established: number;
  readonly heaviest: number;
}

/** weight[i * TAU_POINTS + j] belongs to mu[i] and tau[j]; the whole sums to 1. open: variance left to the level, %^2. */
interface Posterior {
  readonly mu: readonly number[];
  readonly weight: Float64Array;
  readonly season: number;
  readonly open: number;
  readonly wrong: readonly number[];
}

/** Return what the visits tell of a source, or null without visits; days since 1970-01-01 UTC. */
export function estimate(
  visits: readonly Visit[],
  now_day: number,
  season: Season | null = null,
  prior_scale: number = PRIOR_SCALE,
): Estimate | null {
  if (visits.length === 0) return null;
  const posterior = posterior_of(visits, now_day, season, prior_scale);
  const level = season ? at_day(season, now_day) : 0;
  const mu_weight = posterior.mu.map((_, i) => sum_of(posterior.weight, i * TAU_POINTS, 1, TAU_POINTS));
  const tau_weight = TAU.map((_, j) => sum_of(posterior.weight, j, TAU_POINTS, MU_POINTS));
  const typical = dot(posterior.mu, mu_weight);
  const known = visits.filter((visit) => weight_in(visit) >= ESTABLISHED);
  const half_width = (probability: number) =>
    Math.sqrt((on_grid(posterior.mu, mu_weight, probability) - typical) ** 2 + 1.645 ** 2 * posterior.open);
  const quantiles = next_fill_of(posterior, tau_weight).map((quantile) => level + quantile);
  const next_fill: [number, number] = [quantiles[1] as number, quantiles.at(-2) as number];
  return {
    typical: level + typical,
    typical_interval: [level + typical - half_width(0.05), level + typical + half_width(0.95)],
    tau: on_grid(TAU, tau_weight, 0.5),
    tau_interval: [on_grid(TAU, tau_weight, 0.05), on_grid(TAU, tau_weight, 0.95)],
    tau_bound: on_grid(TAU, tau_weight, 0.8),
    next_fill,
    floor: next_fill[0],
    next_fill_quantiles: quantiles,
    visits: visits.length,
    contributors: people_of(visits),
    evidence: evidence_of(known),
    last_sampled_at: Math.max(...visits.map((visit) => visit.sampled_at)),
    season_uncertainty: Math.sqrt(posterior.season),
    wrong: posterior.wrong,
    established: people_of(known),
    heaviest: Math.max(...visits.map(weight_in)),
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

/** The grid: mu around the median, wide enough for few visits; tau in equal ratios. */
function posterior_of(
  visits: readonly Visit[],
  now_day: number,
  season: Season | null,
  prior_scale: number,
): Posterior {
  const count = visits.length;
  const weights = weights_of(visits);
  const heavy = heavy_of(visits);
  const days = visits.map((visit) => visit.sampled_at);
  const deviations = visits.map((visit) => visit.content - (season ? at_day(season, visit.sampled_at) : 0));
  const centre = weighted_middle(deviations, weights);
  const away = deviations.map((deviation) => Math.abs(deviation - centre));
  const spread = MAD_TO_SD * weighted_middle(away, weights);
  const width = Math.max(spread, sum(visits.map((visit) => visit.own_uncertainty)) / count, 1);
  const reach = (10 * width) / Math.sqrt(sum(weights)) + 2;
  const mu = Array.from({ length: MU_POINTS }, (_, i) => centre + reach * (-1 + (2 * i) / (MU_POINTS - 1)));
  const each = visits.map((visit, v) => densities_of(deviations[v] as number, visit.own_uncertainty, mu));
  const weight = weight_of(each, weights, prior_scale);
  const doubt = each.map(({ density, wrong }) => {
    let total = 0;
    for (let k = 0; k < GRID; k++)
      total += (wrong[Math.floor(k / TAU_POINTS)] as number) * ((weight[k] as number) / (density[k] as number));
    return total;
  });
  const unknown = season ? unknown_of(season, days, weights, now_day) : 0;
  const shared = sum(visits.map((visit) => visit.shared_uncertainty ** 2)) / count;
  const wrong = doubt.flatMap((likely, v) => (likely > RATHER ? v : []));
  return { mu, weight, season: unknown, open: unknown + shared / people_of(visits.filter((_, v) => heavy[v])), wrong };
}

/** What the prior and all visits make of each point of the grid; the whole sums to 1. */
function weight_of(each: readonly Densities[], weights: readonly number[], prior_scale: number): Float64Array {
  const prior = TAU.map((tau) => PRIOR_SHARPNESS * (Math.log(tau) - Math.log1p((tau / prior_scale) ** 2)));
  const found = new Float64Array(GRID).map((_, k) => prior[k % TAU_POINTS] as number);
  each.forEach(({ density }, v) => {
    const weight = weights[v] as number;
    for (let k = 0; k < GRID; k++) found[k] = (found[k] as number) + weight * Math.log(density[k] as number);
  });
  const most = found.reduce((a, b) => Math.max(a, b));
  const share = found.map((value) => Math.exp(value - most));
  const total = sum_of(share, 0, 1, GRID);
  return share.map((value) => value / total);
}

/** density: of a visit by mu and tau, up to a common factor. wrong: of it as a gross error, by mu. */
interface Densities {
  readonly density: Float64Array;
  readonly wrong: readonly number[];
}

function densities_of(deviation: number, own: number, mu: readonly number[]): Densities {
  const density = new Float64Array(GRID);
  const variances = TAU.map((tau) => own ** 2 + tau ** 2);
  const factors = variances.map((variance) => (1 - WRONG) / Math.sqrt(variance));
  const wrong = mu.map((m, i) => {
    const square = Math.min(Math.abs(deviation - m), FARTHEST) ** 2;
    const far = (WRONG / WRONG_BY) * Math.exp((-0.5 / WRONG_BY ** 2) * square);
    for (let j = 0; j < TAU_POINTS; j++)
      density[i * TAU_POINTS + j] = far + (factors[j] as number) * Math.exp(square * (-0.5 / (variances[j] as number)));
    return far;
  });
  return { density, wrong };
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

/** Quantiles of the next fill: a mixture of normals over the grid, by bisection. */
function next_fill_of(posterior: Posterior, tau_weight: readonly number[]): number[] {
  const { mu, weight, open } = posterior;
  const moment = (power: number, j: number) =>
    sum(mu.map((m, i) => m ** power * (weight[i * TAU_POINTS + j] as number))) / (tau_weight[j] as number);
  const columns = TAU.flatMap((tau, j) => {
    const share = tau_weight[j] as number;
    if (share <= LEAST_WEIGHT) return [];
    const mean = moment(1, j);
    return [{ share, mean, spread: Math.sqrt(tau ** 2 + Math.max(moment(2, j) - mean ** 2, 0) + open) }];
  });
  const below = (value: number) => {
    let total = 0;
    for (const { share, mean, spread } of columns) total += share * distribution_and_density(value - mean, spread)[0];
    return total;
  };
  return NEXT_FILL_AT.map((probability) => {
    let low = (mu[0] as number) - 400;
    let high = (mu.at(-1) as number) + 400;
    for (let turn = 0; turn < BISECTIONS; turn++) {
      const middle = (low + high) / 2;
      if (below(middle) < probability) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  });
}

function evidence_of(visits: readonly Visit[]): number {
  if (visits.length === 0) return 0;
  const days = visits.map((visit) => visit.sampled_at);
  const weeks = Math.max(...days) - Math.min(...days);
  return Number(visits.length >= 4) + Number(weeks >= 21) + Number(people_of(visits) >= 2);
}

function people_of(visits: readonly Visit[]): number {
  return new Set(visits.map((visit) => visit.contributor)).size;
}

/** The sum of `count` values, each `step` after the last. */
function sum_of(values: Float64Array, first: number, step: number, count: number): number {
  let total = 0;
  for (let k = 0; k < count; k++) total += values[first + k * step] as number;
  return total;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
