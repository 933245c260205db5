// Where the layers part, as a suggestion: the strongest step in colour along the tube, or that there is no clear one.
//
// A step is the difference between the medians of two stretches a little below and above a place, so thin printed
// graduations do not count; it has to be seen in several strips side by side, so glare and numbers do not count; what
// steps beside the tube as well is the background and does not count. All limits below were set on rendered pictures
// (tests/photo/benchmark.py).

/** A profile has 400 samples from the water mark to the fuel mark and begins 20 samples below the water mark. */
export const PER_COLUMN = 400;
export const BELOW = 20;
export const SAMPLES = BELOW + PER_COLUMN + 1;
// The line is looked for from 3 % to 90 % of the fuel column: at the water mark there is a mark and no clear water below
// it, and near the fuel mark is the fuel's own surface, which the shrinkage has lowered to 92 % at most.
const LOWEST = 32;
const HIGHEST = 380;
const RIVAL_HIGHEST = 370;
// Print is up to 14 samples thick; a step is measured over 12 samples on each side, 3 samples away from the place.
const CALM = 14;
const STRETCH = 12;
const GAP = 3;
// What the background does counts within this many samples: through the tube it is seen a little higher or lower.
const BEHIND = 14;
// The least spread, in levels of 255, that a colour is credited with.
const FAINT = 0.7;
// A strip sees the line when its step has at least this share of the strongest strip's.
const SEEN = 0.4;
// A step counts as seen in common when all but this share of the strips have it.
const COMMON = 0.3;
// Gradient: samples of the Gaussian, and of the running median before it.
const SMOOTHING = 2.5;
const LIGHT = 4;
const HALF_OF_GAUSSIAN = 1.1774100225154747;
// No clear line: a step below 4 times the spread, a border wider than 4.5 % of the column, a second step at least 6 %
// away that has 6 levels and 2.5 times the spread (a band of milk has two), or a step that goes on where even layers
// would begin: 18 samples wide, 15 samples away, it is then not what it is close by (a slow change, a thin band).
const LEAST_STRENGTH = 4;
const WIDEST = 0.045;
const APART = 24;
const RIVAL_LEVELS = 6;
const RIVAL_STRENGTH = 2.5;
const AWAY = 15;
const BROAD = 18;
const GROWS = [0.7, 1.3] as const;
const COLOURS = 3;

/** Colours along a line: luminance, blueness and redness (levels of 255, the last two relative to the first). */
export type Strip = readonly (readonly number[])[];
/** One colour along a line, or one figure for every place where a line is looked for. */
type Values = Float64Array;

/** Colours along the tube's axis: strips side by side within the bore, and one strip on each side of the tube. */
export interface Profile {
  readonly inside: readonly Strip[];
  readonly beside: readonly Strip[];
}

/** Where the layers part, and within which half-width: shares of the way from the water mark to the fuel mark. */
export interface Edge {
  readonly share: number;
  readonly half_width: number;
}

/**
 * Return the parting line, or null when there is no clear one. The place is the lower end of the border, where the layers
 * part at the near wall when the line is seen from its own height or from a little above.
 */
export function find_line(profile: Profile): Edge | null {
  const strips = profile.inside.map(channels);
  const steps = strips.map((strip) => strip.map(steps_of));
  const spread = steps.map((colours) => colours.map((values) => 1.4826 * median(values.map(Math.abs)) + FAINT));
  const sizes = steps.map((colours) => length_of(colours));
  const strengths = steps.map((colours, s) =>
    length_of(colours.map((values, c) => values.map((value) => value / at(at(spread, s), c)))),
  );
  const behind = behind_of(profile.beside);
  const own = strengths.map((values, s) =>
    values.map((value, i) => value * Math.max(0, 1 - at(behind, i) / Math.max(at(at(sizes, s), i), 1e-9))),
  );
  const place = first_largest(sum_of(own.map((values) => values.map(Math.sqrt))));
  const near = own.map((values) => Math.max(...values.subarray(Math.max(0, place - 3), place + 4)));
  const seen = strips.map((_, s) => s).filter((s) => at(near, s) > SEEN * Math.max(...near));
  const of_seen = <T>(values: readonly T[]) => seen.map((s) => at(values, s));
  if (seen.length === 0 || !stands_out(of_seen(sizes), of_seen(strengths), behind, place)) return null;
  const step = colours_from((c) => mean(of_seen(steps).map((colours) => at(at(colours, c), place))));
  const weights = colours_from((c) => at(step, c) / mean(of_seen(spread).map((colours) => at(colours, c))) ** 2);
  const close = colours_from((c) => at(step, c) * at(weights, c)).reduce((total, value) => total + value, 0);
  const grows = far_step(of_seen(strips), weights, place + LOWEST) / (close + 1e-12);
  if (!(GROWS[0] < grows && grows < GROWS[1])) return null;
  const edge = border(of_seen(strips), weights, place + LOWEST);
  return edge.half_width <= WIDEST / 2 ? edge : null;
}

/** The step at every place where a line is looked for. */
function steps_of(values: Values): Values {
  const middles = windows(running_median(values, CALM), STRETCH, median);
  return Float64Array.from(
    { length: HIGHEST - LOWEST },
    (_, i) => at(middles, LOWEST + GAP + i) - at(middles, LOWEST - GAP - STRETCH + 1 + i),
  );
}

/** The median over `half` samples on each side. */
function running_median(values: Values, half: number): Values {
  return windows(extended(values, half), 2 * half + 1, median);
}

/** The size of the steps near every place that both sides of the tube show. */
function behind_of(beside: readonly Strip[]): Values {
  const sides = beside.map((strip) => {
    const size = length_of(channels(strip).map(steps_of));
    return windows(extended(size, BEHIND), 2 * BEHIND + 1, (values) => Math.max(...values));
  });
  return at(sides, 0).map((_, i) => Math.min(...sides.map((side) => at(side, i))));
}

/** Whether, in what the strips have in common, the step at `place` is strong enough and has no rival. */
function stands_out(sizes: readonly Values[], strengths: readonly Values[], behind: Values, place: number): boolean {
  const rank = Math.floor(COMMON * (sizes.length - 1));
  const strength = ranked(strengths, rank);
  const size = ranked(sizes, rank);
  if (Math.max(...strength.subarray(Math.max(0, place - 4), place + 5)) < LEAST_STRENGTH) return false;
  return !size.some((value, i) => {
    if (Math.abs(i - place) < APART || i >= RIVAL_HIGHEST - LOWEST) return false;
    const rest = Math.max(0, value - at(behind, i));
    return rest >= RIVAL_LEVELS && (rest * at(strength, i)) / Math.max(value, 1e-9) >= RIVAL_STRENGTH;
  });
}

/** The step between stretches farther away from sample `place`, in the weighed colours. */
function far_step(strips: readonly (readonly Values[])[], weights: readonly number[], place: number): number {
  const calm = weighed(strips, weights, CALM);
  const above = calm.subarray(place + AWAY, place + AWAY + BROAD);
  const below = calm.subarray(Math.max(0, place - AWAY - BROAD + 1), place - AWAY + 1);
  return median(above) - median(below);
}

/** The border near sample `place`, from the gradient of the colours weighed by how well they tell the layers. */
function border(strips: readonly (readonly Values[])[], weights: readonly number[], place: number): Edge {
  const scale = Math.hypot(...weights) + 1e-12;
  const gradient = gradient_of(
    weighed(
      strips,
      weights.map((weight) => weight / scale),
      LIGHT,
    ),
  );
  const low = place - STRETCH - GAP;
  const peak = low + first_largest(gradient.subarray(low, Math.min(HIGHEST, place + STRETCH + GAP)));
  const half = at(gradient, peak) / 2;
  let first = peak;
  let last = peak;
  while (first > 0 && at(gradient, first) > half) first -= 1;
  while (last < SAMPLES - 1 && at(gradient, last) > half) last += 1;
  const lower = first + crossing(at(gradient, first), at(gradient, first + 1), half);
  const upper = last - crossing(at(gradient, last), at(gradient, last - 1), half);
  const middle = 0.5 * (lower + upper);
  const near_wall = lower + HALF_OF_GAUSSIAN * SMOOTHING;
  const found = 0.25 * middle + 0.75 * near_wall;
  return { share: (found - BELOW) / PER_COLUMN, half_width: (0.5 * (upper - lower)) / PER_COLUMN };
}

/** The strips' mean after a running median, its colours added by their weights. */
function weighed(strips: readonly (readonly Values[])[], weights: readonly number[], half: number): Values {
  return sum_of(
    colours_from((c) => {
      const sum = sum_of(strips.map((strip) => running_median(at(strip, c), half)));
      return sum.map((value) => (value / strips.length) * at(weights, c));
    }),
  );
}

function colours_from<T>(of: (colour: number) => T): T[] {
  return Array.from({ length: COLOURS }, (_, c) => of(c));
}

/** Where between two samples the half level is, 0 at the low one; 0 when it is beyond the strip. */
function crossing(low: number, high: number, half: number): number {
  return high > half && half >= low ? (half - low) / (high - low) : 0;
}

/** The slope of values smoothed by a Gaussian: a weighted line through each sample's neighbours. */
function gradient_of(values: Values): Values {
  const reach = Math.floor(4 * SMOOTHING);
  const offsets = Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach);
  const kernel = offsets.map((offset) => offset * Math.exp(-0.5 * (offset / SMOOTHING) ** 2));
  const norm = kernel.reduce((total, weight, i) => total + weight * at(offsets, i), 0);
  const longer = extended(values, reach);
  return values.map((_, j) => kernel.reduce((total, weight, i) => total + weight * at(longer, i + j), 0) / norm);
}

/** One array a colour instead of one a sample. */
function channels(strip: Strip): Values[] {
  return colours_from((c) => Float64Array.from(strip, (sample) => at(sample, c)));
}

/** A strip that goes on beyond its ends as it ends. */
function extended(values: Values, by: number): Values {
  const last = values.length - 1;
  return Float64Array.from({ length: values.length + 2 * by }, (_, i) =>
    at(values, Math.min(Math.max(i - by, 0), last)),
  );
}

function windows(values: Values, size: number, of: (window: Values) => number): Values {
  return Float64Array.from({ length: values.length - size + 1 }, (_, i) => of(values.subarray(i, i + size)));
}

/** The middle value, or the mean of the two in the middle. */
export function median(values: Values): number {
  const sorted = values.slice().sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? at(sorted, middle) : (at(sorted, middle - 1) + at(sorted, middle)) / 2;
}

function ranked(strips: readonly Values[], rank: number): Values {
  return at(strips, 0).map((_, i) => at(Float64Array.from(strips, (values) => at(values, i)).sort(), rank));
}

function length_of(colours: readonly Values[]): Values {
  return sum_of(colours.map((values) => values.map((value) => value * value))).map(Math.sqrt);
}

function sum_of(arrays: readonly Values[]): Values {
  return at(arrays, 0).map((_, i) => arrays.reduce((total, values) => total + at(values, i), 0));
}

function mean(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0) / values.length;
}

function first_largest(values: Values): number {
  return values.reduce((best, value, i) => (value > at(values, best) ? i : best), 0);
}

/** An element that is there. */
function at<T>(values: ArrayLike<T>, index: number): T {
  return values[index] as T;
}
