// The fit of a season: a second-order random walk around the year, with a level for each source.
// Part of the counterpart of statistics/season.py, which explains the model.
import { dot, inverted, type Matrix, times } from "./matrix";

export const BINS = 24;
export const YEAR = 365.2425;
export const BENDS = [0.025, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6] as const;
export const SCATTERS = [0.3, 0.6, 1.2, 2.4, 4.8] as const;
export const USUAL_BEND = 0.25;
export const NONE: readonly number[] = Array.from({ length: BINS }, () => 0);

/** The two half-months whose midpoints enclose a day, and the weight of the second. */
export interface Place {
  readonly below: number;
  readonly above: number;
  readonly share: number;
}

/** A cell prepared for the fit. left: residual after its source's level and the country's season. trust: 0..1. */
export interface Point {
  readonly place: Place;
  readonly source: number;
  readonly variance: number;
  left: number;
  trust: number;
}

interface Given {
  readonly log_share: number;
  readonly mean: number[];
  readonly covariance: Matrix;
  readonly scatter: number;
}

/** Return mean and covariance of the season, averaged over the grids of bend and scatter; and the mean variance. */
export function posterior_of(points: readonly Point[]): { mean: number[]; covariance: number[][]; variance: number } {
  const found = SCATTERS.flatMap((scatter) => given(points, scatter));
  const most = Math.max(...found.map((one) => one.log_share));
  const raw = found.map((one) => Math.exp(one.log_share - most));
  const total = sum(raw);
  const shares = raw.map((share) => share / total);
  const mixed = (of: (one: Given) => number) => sum(found.map((one, k) => (shares[k] as number) * of(one)));
  const mean = NONE.map((_, place) => mixed((one) => one.mean[place] as number));
  const covariance = mean.map((here, i) =>
    mean.map((there, j) =>
      mixed((one) => cell(one.covariance, i, j) + ((one.mean[i] as number) - here) * ((one.mean[j] as number) - there)),
    ),
  );
  return { mean, covariance, variance: mixed((one) => one.scatter ** 2) };
}

/** For each bend: log likelihood with the levels integrated out, mean and covariance of the season. */
function given(points: readonly Point[], scatter: number): Given[] {
  const { known, pull, fixed } = information_of(points, scatter);
  return BENDS.map((bend) => {
    const { inverse, log_determinant } = inverted(with_bend(known, bend));
    const mean = times(inverse, pull);
    const sizes = log_determinant + 2 * (BINS - 1) * Math.log(bend);
    const log_prior = Math.log(bend / (1 + (bend / USUAL_BEND) ** 2));
    return { log_share: log_prior + 0.5 * (fixed + dot(pull, mean) - sizes), mean, covariance: inverse, scatter };
  });
}

/** The cells' information on the season, with the sources' levels integrated out. */
function information_of(points: readonly Point[], scatter: number) {
  const known = NONE.map(() => [...NONE]);
  const pull = [...NONE];
  const sources: { total: number; sums: number; places: number[] }[] = [];
  let fixed = 0;
  for (const { place, source, variance, left, trust } of points) {
    const weight = trust / (scatter ** 2 + variance);
    const own = sources[source] ?? { total: 0, sums: 0, places: [...NONE] };
    sources[source] = own;
    own.total += weight;
    own.sums += weight * left;
    add(own.places, place, weight);
    add(pull, place, weight * left);
    add(known[place.below] as number[], place, weight * (1 - place.share));
    add(known[place.above] as number[], place, weight * place.share);
    fixed += Math.log(weight) - weight * left ** 2;
  }
  for (const { total, sums, places } of sources) {
    fixed += sums ** 2 / total - Math.log(total);
    for (let i = 0; i < BINS; i++) {
      const here = (places[i] as number) / total;
      if (here === 0) continue;
      pull[i] = (pull[i] as number) - here * sums;
      const row = known[i] as number[];
      for (let j = 0; j < BINS; j++) row[j] = (row[j] as number) - here * (places[j] as number);
    }
  }
  return { known, pull, fixed };
}

// The precision of a cyclic random walk with second differences of variance 1, by distance between two half-months.
const BENT: readonly number[] = NONE.map((_, apart) => [6, -4, 1][Math.min(apart, BINS - apart)] ?? 0);

/** Adds the precision of that walk, and ties the mean of the year to 0, so that the sum is invertible. */
function with_bend(known: Matrix, bend: number): number[][] {
  const one = 1 / bend ** 2;
  return known.map((row, i) => row.map((value, j) => value + one * (BENT[Math.abs(i - j)] as number) + 1));
}

/** Return the place in the year of a day since 1970-01-01 UTC. */
export function place_of(day: number): Place {
  const at = day * (BINS / YEAR) - 0.5;
  const first = Math.floor(at);
  const below = ((first % BINS) + BINS) % BINS;
  return { below, above: (below + 1) % BINS, share: at - first };
}

/** Return the half-months' values at a place: linear between their midpoints. */
export function value_at(values: readonly number[], { below, above, share }: Place): number {
  return (1 - share) * (values[below] as number) + share * (values[above] as number);
}

/** Add a weight to the half-months of a place. */
export function add(to: number[], { below, above, share }: Place, weight: number): void {
  to[below] = (to[below] as number) + weight * (1 - share);
  to[above] = (to[above] as number) + weight * share;
}

function cell(matrix: Matrix, i: number, j: number): number {
  return (matrix[i] as readonly number[])[j] as number;
}

/** Return the sum of some values. */
export function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
