// A border between layers of the same colour: visible only as a dark line where it meets the glass.
import type { Strip } from "./border";
import {
  at,
  clamped,
  extended,
  first_largest,
  interpolated,
  largest_near,
  median,
  ranked,
  running_median,
  type Values,
} from "./series";

// A line is thinner than half of this many samples, so their median is its surroundings.
const AROUND = 31;
// Anything thinner than this is print or noise.
const FINE = 3;
const FAINT = 0.7;
// How the line may lean: samples per share of the column across.
const LEANINGS = [-40, -20, 0, 20, 40];
// A line: all but this share of the strips show it, at this many times the spread and this many levels. Nothing else is
// more than 30 % as strong: a printed ring has others like it. Nor does the background have one like it.
const HIDDEN = 0.3;
const LEAST = { strength: 4, levels: 5 };
const SECOND = 0.3;
const APART = 12;
const BESIDE = 10;
const WIDEST = 10;

/** The samples where the line starts and ends on the axis. */
export interface Rim {
  readonly low: number;
  readonly high: number;
}

/** Return the line between two samples, or null when none stands out. */
export function rim_of(strips: readonly Strip[], sides: readonly Strip[], from: number, to: number): Rim | null {
  const lines = strips.map(darkness);
  const spread = lines.map((values) => 1.4826 * median(values.map(Math.abs)) + FAINT);
  const leanings = LEANINGS.map((lean) => {
    const moved = lines.map((values, s) => values.map((_, i) => interpolated(values, i + lean * at(strips, s).beside)));
    const common = ranked(
      moved.map((values, s) => values.map((value) => value / at(spread, s))),
      HIDDEN,
    );
    return { moved, common, place: peak(common, from, to) };
  });
  const { moved, common, place } = leanings.reduce((a, b) => (at(b.common, b.place) > at(a.common, a.place) ? b : a));
  const depth = ranked(moved, 0.5);
  const others = [...common.subarray(from, Math.max(from, place - APART)), ...common.subarray(place + APART, to)];
  const beside = sides.map((side) => largest_near(darkness(side), BESIDE)[place] as number);
  const stands_out =
    at(common, place) >= Math.max(LEAST.strength, ...others.map((value) => value / SECOND)) &&
    at(depth, place) >= Math.max(LEAST.levels, ...beside.map((value) => value / SECOND));
  const [low, high] = [half(depth, place, -1), half(depth, place, 1)];
  return stands_out && high - low <= WIDEST ? { low, high } : null;
}

function peak(values: Values, from: number, to: number): number {
  return from + first_largest(values.subarray(from, to));
}

/** How much darker every sample is than its surroundings. */
function darkness({ colours }: Strip): Values {
  const light = at(colours, 0);
  const around = running_median(extended(light, AROUND >> 1), AROUND);
  return running_median(extended(light, FINE >> 1), FINE).map((value, i) => at(around, i) - value);
}

/** Return where a peak has fallen to half its height, between samples. */
function half(values: Values, peak: number, way: 1 | -1): number {
  const level = 0.5 * at(values, peak);
  let i = peak;
  while (i + way > 0 && i + way < values.length - 1 && at(values, i + way) > level) i += way;
  const [here, there] = [at(values, i), at(values, i + way)];
  return i + way * clamped((here - level) / (here - there || 1), 0, 1);
}
