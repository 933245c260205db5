// How steady a source is: the prediction of its next fill, and the scatter of its deliveries.
// Counterpart of statistics/steadiness.py, which explains the model.
import { distribution_and_density, quantile } from "./normal";
import { type Posterior, posterior_of, tau_at } from "./posterior";
import { aged_at, at_day, met_at, type Season, unknown_of } from "./season";
import { ESTABLISHED, heavy_of, LEFT, LEFT_UNCERTAINTY, type Visit, weight_in, weights_of } from "./visits";

export const BISECTIONS = 50;
export const PRIOR_SCALE = 2;
/** Bracket: every quantile is within this many standard deviations of some component's mean. */
export const FAR = 8;
export const LEVEL_AT = [0.05, 0.95] as const;
export const NEXT_FILL_AT: readonly number[] = [
  0.005,
  ...Array.from({ length: 19 }, (_, k) => (5 * (k + 1)) / 100),
  0.995,
];

/** The estimate for one source, contents in % (V/V); steadiness.py explains each field. */
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

/** Return the estimate for a source, or null without visits; days since 1970-01-01 UTC. */
export function estimate(
  visits: readonly Visit[],
  now_day: number,
  season: Season | null = null,
  prior_scale: number = PRIOR_SCALE,
): Estimate | null {
  if (visits.length === 0) return null;
  const days = visits.map((visit) => visit.sampled_at);
  const scale = prior_scale * Math.exp(-LEFT);
  // Visits of one delivery share its scatter, not their own noise: weighted by the usual share of scatter in both.
  const weights = weights_of(
    visits,
    visits.map(({ own_uncertainty }) => scale ** 2 / (scale ** 2 + own_uncertainty ** 2)),
  );
  const posterior = posterior_in(visits, weights, season, scale);
  const [left, blur] = season ? unknown_of(season, days, weights, now_day) : [0, 0];
  const open = left + shared_in(visits);
  const level = season ? at_day(season, now_day) : 0;
  const known = visits.filter((visit) => weight_in(visit) >= ESTABLISHED);
  const tau_of = (probability: number) => of_deliveries(posterior, blur, probability);
  const level_at = (probability: number) => level + quantile_of(posterior, open, 0, probability);
  const quantiles = NEXT_FILL_AT.map((probability) => level + quantile_of(posterior, open, 1, probability));
  const next_fill: [number, number] = [quantiles[1] as number, quantiles.at(-2) as number];
  return {
    typical: level + sum(posterior.given.map(({ share, mean }) => share * mean)),
    typical_interval: [level_at(LEVEL_AT[0]), level_at(LEVEL_AT[1])],
    tau: tau_of(0.5),
    tau_interval: [tau_of(0.05), tau_of(0.95)],
    tau_bound: tau_of(0.8),
    next_fill,
    floor: next_fill[0],
    next_fill_quantiles: quantiles,
    visits: visits.length,
    contributors: people_of(visits),
    evidence: evidence_of(known),
    last_sampled_at: Math.max(...days),
    season_uncertainty: Math.sqrt(left),
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

function posterior_in(
  visits: readonly Visit[],
  weights: readonly number[],
  season: Season | null,
  prior_scale: number,
): Posterior {
  const observations = visits.map(({ sampled_at, content, own_uncertainty }, v) => ({
    deviation: content - (season ? met_at(season, sampled_at) : 0),
    own: Math.hypot(own_uncertainty, season ? aged_at(season, sampled_at) : 0),
    weight: weights[v] as number,
  }));
  return posterior_of(observations, prior_scale);
}

/** A quantile of the scatter of deliveries, from that of the fuel in the tank; steadiness.py explains it. */
function of_deliveries(posterior: Posterior, blur: number, probability: number): number {
  const [tau, median] = [tau_at(posterior, probability), tau_at(posterior, 0.5)];
  const open = quantile(probability) * Math.hypot(LEFT_UNCERTAINTY, 0.5 * Math.log1p(blur / median ** 2));
  return median * Math.exp(LEFT + Math.sign(tau - median) * Math.hypot(Math.log(tau / median), open));
}

/** The variance of the level due to the errors that visits with a tube share, %^2: of those with much weight only. */
function shared_in(visits: readonly Visit[]): number {
  const is_heavy = heavy_of(visits);
  const heavy = visits.filter((_, v) => is_heavy[v]);
  return sum(heavy.map((visit) => visit.shared_uncertainty ** 2)) / heavy.length / people_of(heavy);
}

/** A quantile of the level, or (`fills` 1) of the next fill, without season: of a normal mixture, by bisection. */
function quantile_of({ given }: Posterior, open: number, fills: 0 | 1, probability: number): number {
  const parts = given.map((one) => ({ ...one, spread: Math.sqrt(one.variance + open + fills * one.tau ** 2) }));
  let low = Math.min(...parts.map(({ mean, spread }) => mean - FAR * spread));
  let high = Math.max(...parts.map(({ mean, spread }) => mean + FAR * spread));
  for (let turn = 0; turn < BISECTIONS; turn++) {
    const middle = (low + high) / 2;
    let below = 0;
    for (const { share, mean, spread } of parts) below += share * distribution_and_density(middle - mean, spread)[0];
    if (below < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
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

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
