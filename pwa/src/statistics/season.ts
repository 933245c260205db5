// The effect of the season on the content, with its uncertainty.
// Counterpart of statistics/season.py, which explains the model.
import { dot, type Matrix, times } from "./matrix";
import { DELIVERY, LEFT, UNEVEN } from "./visits";
import { add, BINS, NONE, type Point, place_of, posterior_of, sum, value_at, YEAR } from "./walk";

export { BINS, YEAR };
export const ROUNDS = 3;
export const FAR = 2;
export const AGE = DELIVERY * (UNEVEN / 2 + LEFT / (1 - LEFT));
export const AGE_UNCERTAINTY = AGE / Math.sqrt(3);

/** deviations: % by half-month of the year. covariance: of these, %^2. Only differences between half-months count. */
export interface Season {
  readonly deviations: readonly number[];
  readonly covariance: Matrix;
}

/** The mean of one source's visits in one half-month, % (V/V); variance: of that, from measurement alone, %^2. */
export interface Cell {
  readonly source: string;
  readonly day: number;
  readonly content: number;
  readonly variance: number;
}

/** Return the season of a region; `country`: the prior mean, which counts where data are few. */
export function season_of_cells(cells: readonly Cell[], country: readonly number[] | null = null): Season {
  const around = country ?? NONE;
  const points = points_of(cells, around);
  let found = posterior_of(points);
  for (let round = 1; round < ROUNDS; round++) {
    trust(points, found.mean, found.variance);
    found = posterior_of(points);
  }
  const deviations = found.mean.map((value, k) => value + (around[k] as number));
  const middle = sum(deviations) / BINS;
  return { deviations: deviations.map((value) => value - middle), covariance: found.covariance };
}

/** Return the mean season of some regions, each [tests, deviations] by its tests; null without any. */
export function country_of(seasons: readonly (readonly [number, readonly number[]])[]): number[] | null {
  const total = sum(seasons.map(([tests]) => tests));
  if (total <= 0) return null;
  return NONE.map((_, place) => sum(seasons.map(([tests, found]) => (tests / total) * (found[place] as number))));
}

/** Return the deviation of fuel delivered on a day since 1970-01-01 UTC, %: linear between half-months. */
export function at_day(season: Season, day: number): number {
  return value_at(season.deviations, place_of(day));
}

/** Return the deviation of fuel sampled on a day, %. */
export function met_at(season: Season, day: number): number {
  return at_day(season, day - AGE);
}

/** Return the standard deviation, %, of fuel sampled on a day because its age is anything up to twice `AGE`. */
export function aged_at(season: Season, day: number): number {
  return Math.abs(at_day(season, day) - at_day(season, day - 2 * AGE)) / Math.sqrt(12);
}

/**
 * Return two variances, %^2, that the uncertain season adds: to a level, of the season now minus its weighted mean over
 * visits; and to a scatter, the mean variance of the season at visits about that mean.
 */
export function unknown_of(
  { deviations, covariance }: Season,
  days: readonly number[],
  weights: readonly number[],
  now_day: number,
): [of_level: number, of_scatter: number] {
  const total = sum(weights);
  const mean = [...NONE];
  const blurs = days.map((day, k) => {
    const here = [...NONE];
    add(here, place_of(day - AGE), 1);
    add(mean, place_of(day - AGE), (weights[k] as number) / total);
    return ((weights[k] as number) / total) * quadratic(covariance, here);
  });
  const contrast = mean.map((value) => -value);
  add(contrast, place_of(now_day), 1);
  const step = value_at(deviations, place_of(now_day)) - value_at(deviations, place_of(now_day - AGE));
  const shifted = (AGE_UNCERTAINTY / AGE) * step;
  const blurred = sum(blurs) - quadratic(covariance, mean);
  return [Math.max(0, quadratic(covariance, contrast)) + shifted ** 2, Math.max(0, blurred)];
}

function quadratic(matrix: Matrix, vector: readonly number[]): number {
  return dot(vector, times(matrix, vector));
}

type Content = readonly [day: number, content: number, uncertainty: number];

/** Return the source means of [day, content, uncertainty] by source; each year has its own cells. */
export function cells_of(contents: Readonly<Record<string, readonly Content[]>>): Cell[] {
  const found: Cell[] = [];
  for (const source of Object.keys(contents).sort()) {
    const by_bin = new Map<number, Content[]>();
    for (const one of contents[source] as readonly Content[]) {
      const bin = Math.floor((one[0] / YEAR) * BINS);
      by_bin.set(bin, [...(by_bin.get(bin) ?? []), one]);
    }
    for (const [, group] of [...by_bin].sort(([a], [b]) => a - b)) {
      const mean = (of: (one: Content) => number) => sum(group.map(of)) / group.length;
      const variance = mean(([, , uncertainty]) => uncertainty ** 2) / group.length;
      found.push({ source, day: mean(([day]) => day), content: mean(([, content]) => content), variance });
    }
  }
  return found;
}

function points_of(cells: readonly Cell[], around: readonly number[]): Point[] {
  const names = new Map<string, number>();
  for (const { source } of cells) if (!names.has(source)) names.set(source, names.size);
  const points = cells.map(({ source, day, content, variance }) => {
    const place = place_of(day - AGE);
    const left = content - value_at(around, place);
    return { place, source: names.get(source) as number, variance, left, trust: 1 };
  });
  const means = levels_of(points, (point) => point.left);
  for (const point of points) point.left -= means[point.source] as number;
  return points;
}

/** Downweights cells far from the season and their source's level. variance: of deliveries, %^2. */
function trust(points: readonly Point[], mean: readonly number[], variance: number): void {
  const off = (point: Point) => point.left - value_at(mean, point.place);
  const levels = levels_of(points, off);
  for (const point of points) {
    const distance = Math.abs(off(point) - (levels[point.source] as number)) / Math.sqrt(variance + point.variance);
    point.trust = Math.min(1, FAR / Math.max(distance, FAR));
  }
}

function levels_of(points: readonly Point[], of: (point: Point) => number): number[] {
  const totals: number[] = [];
  const weights: number[] = [];
  for (const point of points) {
    totals[point.source] = (totals[point.source] ?? 0) + point.trust * of(point);
    weights[point.source] = (weights[point.source] ?? 0) + point.trust;
  }
  return totals.map((total, source) => total / (weights[source] as number));
}
