// The fit of a season: a second-order random walk around the year, with a level for each source.
// Part of the counterpart of statistics/season.py, which explains the model.
import { dot, inverted, type Matrix, times } from "./matrix";

export const BINS = 24;
export const YEAR = 365.2425;
export const BENDS = [0.025, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6] as const;
export const SCATTERS = [0.3, 0.6, 1.2, 2.4, 4.8] as const;
export const USUAL_BEND = 0.6;
export const UNSEEN_BEND = 4;
export const ENOUGH = 16;
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
  const walks = walks_of(unseen_by(points));
  const found = SCATTERS.flatMap((scatter) => given(points, scatter, walks));
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

/** For each walk: log posterior with the levels integrated out, mean and covariance of the season. */
function given(points: readonly Point[], scatter: number, walks: readonly Walk[]): Given[] {
  const { known, pull, fixed } = information_of(points, scatter);
  return walks.map(({ precision, size }) => {
    const whole = known.map((row, i) => row.map((value, j) => value + cell(precision, i, j)));
    const { inverse, log_determinant } = inverted(whole);
    const mean = times(inverse, pull);
    const log_share = 0.5 * (fixed + dot(pull, mean) - log_determinant + size);
    return { log_share, mean, covariance: inverse, scatter };
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

/** Which second differences, by their middle, are of half-months that nobody saw; none if little was seen. */
function unseen_by(points: readonly Point[]): boolean[] {
  const seen = [...NONE];
  for (const { place } of points) add(seen, place, 1);
  const half = 2 * seen.filter((weight) => weight > 0).length >= BINS && points.length >= ENOUGH;
  return seen.map((_, k) => half && [-1, 0, 1].every((step) => seen[(k + step + BINS) % BINS] === 0));
}

/** A walk around the year: its precision, and the logarithm of its determinant and squared prior. */
interface Walk {
  readonly precision: Matrix;
  readonly size: number;
}

/** For each bend, whose prior is half-normal: its walk, tied to a mean of 0, so that its precision is invertible. */
function walks_of(unseen: readonly boolean[]): Walk[] {
  return BENDS.map((bend) => {
    const precision = NONE.map(() => NONE.map(() => 1));
    unseen.forEach((free, middle) => {
      const weight = (free ? UNSEEN_BEND : bend) ** -2;
      for (const [i, a] of SECOND) {
        const row = precision[(middle + i) % BINS] as number[];
        for (const [j, b] of SECOND) row[(middle + j) % BINS] = (row[(middle + j) % BINS] as number) + weight * a * b;
      }
    });
    const log_prior = Math.log(bend) - 0.5 * (bend / USUAL_BEND) ** 2;
    // Up to a constant: second differences are any numbers whose sum is 0.
    const sizes = unseen.map((free) => (free ? UNSEEN_BEND : bend));
    const log_determinant = Math.log(sum(sizes.map((size) => size ** 2))) - 2 * sum(sizes.map(Math.log));
    return { precision, size: log_determinant + 2 * log_prior };
  });
}

// A second difference: by how many half-months after its middle, and how often, each counts.
const SECOND: readonly (readonly [number, number])[] = [
  [BINS - 1, 1],
  [0, -2],
  [1, 1],
];

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
