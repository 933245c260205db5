// Where one layer ends and the other begins, from the colours near a place where they part.
import { at, clamped, interpolated, lengths, median, ranked, type Values } from "./series";

// The layers' own colours are read from stretches this far from the place, this many samples long.
const GAP = 8;
const STRETCH = 14;
// A strip shows the border when its step has this share of the others', and crosses half-way this near to the place.
const VIEW = 44;
const SEEN = 0.35;
const REACH = 16;
// A sample belongs to a layer when it is this near to its colour, in shares of the step between the two.
const SAME = 0.2;
// A band that is neither layer: farther from both than the middle of a plain step is.
const FOREIGN = 0.65;

/** Samples from the profile's start where the border is seen on the axis, and how. */
export interface Border {
  readonly low: number;
  readonly high: number;
  /** What lies between is neither layer; it is darker than both. */
  readonly foreign: boolean;
  readonly dark: boolean;
  /** Share of the middle strips that show it; how far apart they show it, samples (median). */
  readonly shown: number;
  readonly scatter: number;
  /** By how much the border bends toward the walls, samples; negative when it falls. */
  readonly bend: number;
}

/** A strip's colours as shares of the way from the lower to the upper layer, and what is left over. */
interface Way {
  readonly along: Values;
  readonly aside: readonly Values[];
  readonly light: Values;
  readonly step: readonly number[];
  readonly crossing: number | null;
}

/** A strip of the profile and where it runs: shares of the column beside the axis. */
export interface Placed {
  readonly strip: readonly Values[];
  readonly beside: number;
}

/** Return the border near a sample; null when the strips show none there. */
export function border_near(strips: readonly Placed[], at_sample: number, middle: number): Border | null {
  const first = border_once(strips, at_sample, middle);
  return first && border_once(strips, Math.round(0.5 * (first.low + first.high)), middle);
}

function border_once(strips: readonly Placed[], at_sample: number, middle: number): Border | null {
  const start = Math.max(0, at_sample - VIEW);
  const place = at_sample - start;
  const ways = strips.map(({ strip, beside }) => ({
    ...way_of(strip.map((values) => values.subarray(start, at_sample + VIEW + 1)), place),
    beside,
  }));
  const central = ways.filter(({ beside }) => Math.abs(beside) <= middle);
  const usual = [0, 1, 2].map((c) => median(Float64Array.from(central, ({ step }) => at(step, c))));
  const shows = ({ step, crossing }: Way) => crossing !== null && dot(step, usual) > SEEN * dot(usual, usual);
  const seen = central.filter(shows);
  if (seen.length < 3) return null;
  const shape = shape_of(seen.map(({ beside, crossing }) => [beside, crossing as number]));
  const moved = seen.map((way) => straightened(way, shape.at(way.beside)));
  const along = ranked(moved.map((way) => way.along), 0.5);
  const asides = [0, 1, 2].map((c) => ranked(moved.map((way) => at(way.aside, c)), 0.5));
  const aside = lengths(asides);
  const light = ranked(moved.map((way) => way.light), 0.5);
  const lower = along.map((value, i) => Math.hypot(value, at(aside, i)));
  const upper = along.map((value, i) => Math.hypot(1 - value, at(aside, i)));
  const crossing = crossing_near(along, shape.on_axis);
  if (crossing === null) return null;
  const found = ends(lower, upper, light, Math.floor(crossing));
  const drift = (values: Values, from: number, to: number) => { const a = Math.max(0, Math.round(from)), b = Math.min(Math.round(to), values.length, 400 - start); return b - a >= 6 ? median(values.subarray(a, b)) : 0; };
  const D = (globalThis as any).DEBUG;
  const speed = Math.max(0, ...Array.from({ length: Math.ceil(found.high) - Math.floor(found.low) + 4 }, (_, k) => {
    const i = clamped(Math.floor(found.low) - 2 + k, 0, along.length - 4);
    return Math.hypot(at(along, i + 3) - at(along, i), ...[0, 1, 2].map((c) => at(asides[c]!, i + 3) - at(asides[c]!, i)));
  }));
  const extra = { speed, nb: drift(lower, found.low - 14, found.low - 2), fb: drift(lower, found.low - 32, found.low - 16), na: drift(upper, found.high + 3, found.high + 15), fa: drift(upper, found.high + 17, found.high + 33), seenIdx: strips.map((_, j) => j).filter((j) => Math.abs(strips[j]!.beside) <= middle && shows(ways[j]!)), width: found.high - found.low, extents: ways.filter(shows).map((w) => w.beside), usual };
  return { ...extra, ...found, low: start + found.low, high: start + found.high, shown: seen.length / central.length, scatter: shape.scatter, bend: shape.bend };
}

function way_of(strip: readonly Values[], place: number): Way {
  const last = at(strip, 0).length;
  const level = (from: number) => {
    const start = clamped(from, 0, last - 4);
    const end = clamped(from + STRETCH, 4, last);
    return strip.map((values) => median(values.subarray(start, end)));
  };
  const below = level(place - GAP - STRETCH + 1);
  const above = level(place + GAP);
  const step = above.map((value, c) => value - at(below, c));
  const size = dot(step, step) + 1e-9;
  const along = at(strip, 0).map((_, i) =>
    step.reduce((total, value, c) => total + (value * (at(at(strip, c), i) - at(below, c))) / size, 0),
  );
  const aside = strip.map((values, c) =>
    values.map((value, i) => (value - at(below, c) - at(along, i) * at(step, c)) / Math.sqrt(size)),
  );
  const least = Math.min(at(below, 0), at(above, 0));
  return { along, aside, light: at(strip, 0).map((value) => value - least), step, crossing: crossing_near(along, place) };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((total, value, c) => total + value * at(b, c), 0);
}

/**
 * Return where the way is half gone, between samples: the split that leaves least on the wrong sides. Thin print counts
 * for little, as what is farther off than the step is high counts no more than that.
 */
function crossing_near(along: Values, place: number): number | null {
  const wrong = along.map((value) => Math.min(Math.abs(value), 1) - Math.min(Math.abs(1 - value), 1));
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  let total = 0;
  for (let i = 0; i < along.length - 1; i++) {
    total += at(wrong, i);
    if (total < least && Math.abs(i - place) <= REACH) [best, least] = [i, total];
  }
  if (best < 0) return null;
  const [here, next] = [at(along, best), at(along, best + 1)];
  return best + clamped((0.5 - here) / (next - here || 1), 0, 1);
}

/** Return the border's course across the tube: medians, so that print and glare over some strips do not count. */
function shape_of(spots: readonly (readonly [number, number])[]) {
  const slopes = spots.flatMap(([u, y], i) =>
    spots.slice(i + 1).filter(([v]) => Math.abs(v - u) > 0.04).map(([v, z]) => (z - y) / (v - u)));
  const slope = slopes.length > 0 ? median(Float64Array.from(slopes)) : 0;
  const level = spots.map(([u, y]) => [u, y - slope * u] as const);
  const widest = Math.max(...spots.map(([u]) => Math.abs(u)));
  const inner = level.filter(([u]) => Math.abs(u) <= 0.4 * widest);
  const outer = level.filter(([u]) => Math.abs(u) > 0.6 * widest);
  const of = (some: readonly (readonly [number, number])[]) => median(Float64Array.from(some, ([, y]) => y));
  const bends = inner.length > 1 && outer.length > 1;
  const bend = bends ? clamped((of(outer) - of(inner)) / 0.6, -3, 3) : 0;
  const curved = level.map(([u, y]) => [u, y - bend * (u / widest) ** 2] as const);
  const on_axis = of(curved);
  const scatter = 1.4826 * median(Float64Array.from(curved, ([, y]) => Math.abs(y - on_axis)));
  return { on_axis, scatter, bend, at: (u: number) => slope * u + bend * (u / widest) ** 2 };
}

/** A strip's way moved along so that the border is where the axis has it. */
function straightened(way: Way, by: number): Way {
  const move = (values: Values) => values.map((_, i) => interpolated(values, i + by));
  return { ...way, along: move(way.along), aside: way.aside.map(move), light: move(way.light) };
}

function ends(lower: Values, upper: Values, light: Values, middle: number) {
  let low = middle;
  let high = middle + 1;
  while (low > 0 && at(lower, low) > SAME) low -= 1;
  while (high < upper.length - 1 && at(upper, high) > SAME) high += 1;
  const own = Float64Array.from({ length: high - low + 1 }, (_, i) => Math.min(at(lower, low + i), at(upper, low + i)));
  const peak = low + own.reduce((best, value, i) => (value > at(own, best) ? i : best), 0);
  const foreign = at(own, peak - low) > FOREIGN;
  return {
    low: fall(lower, foreign ? peak : middle + 1, -1, foreign ? 0.5 * at(lower, peak) : SAME),
    high: fall(upper, foreign ? peak : middle, 1, foreign ? 0.5 * at(upper, peak) : SAME),
    foreign,
    dark: foreign && at(light, peak) < 0,
  };
}

/** Return where values first fall below a level on the way from a sample, between samples. */
function fall(values: Values, from: number, way: 1 | -1, level: number): number {
  let i = from;
  while (i + way >= 0 && i + way < values.length && at(values, i + way) > level) i += way;
  const next = clamped(i + way, 0, values.length - 1);
  const [here, there] = [at(values, i), at(values, next)];
  return here > level && level >= there && here > there ? i + (way * (here - level)) / (here - there) : i;
}
