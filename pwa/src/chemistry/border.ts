// Where one layer ends and the other begins, from the colours around a candidate position.
//
// Each strip gives its own position where the colour turns from the lower layer's to the upper one's. A line is fitted
// across the tube through these positions, by medians, so that print and glare on some strips do not count. The strips
// are then aligned along that line, and the border is what most of them show. All limits are in samples or shares of
// the step.
import { at, clamped, interpolated, lengths, median, ranked, type Values } from "./series";

// The layers' own colours are measured over stretches this far from the position, this many samples long.
const GAP = 8;
const STRETCH = 14;
// The window around a position, and how far from it a strip may show the border.
const VIEW = 44;
// The fuel surface is above this sample (95 % of the column).
const SURFACE = 400;
const REACH = 16;
// The layers' colours are measured again around the border found, at least once, until it moves by no more than this
// many samples.
const LOOKS = 5;
const SETTLED = 6;
// A strip shows the border when its step is at least this share of the usual one, in the same direction.
const SEEN = 0.35;
// A sample belongs to a layer when its colour is this close to the layer's.
const SAME = 0.2;
// A band that is neither layer: farther from both than the middle of a plain step.
const FOREIGN = 0.65;
// The most a level border appears to bend toward the walls, samples.
const MOST_BEND = 3;
// Strips closer together than this cannot show how the border leans.
const APART = 0.04;
export const COLOURS = [0, 1, 2];

/** Colours along the axis, and the distance beside it: share of the way from the water mark to the fuel mark. */
export interface Strip {
  readonly colours: readonly Values[];
  readonly beside: number;
}

/** A border on the axis: its ends as samples of the strips, and its appearance. */
export interface Border {
  readonly low: number;
  readonly high: number;
  /** The band between the ends is darker than both layers. */
  readonly dark: boolean;
  /** Which strips show it, how far apart (samples), and its rise across the tube (samples per share). */
  readonly shown: readonly number[];
  readonly scatter: number;
  readonly slope: number;
  /** The layers' difference in each colour, and the share of it within three samples. */
  readonly step: readonly number[];
  readonly sharpness: number;
  /** How far the layers differ from their colours, close to the border and farther off, shares of the step. */
  readonly unlike: { readonly near: number; readonly far: number };
}

/** A strip near the position: shares of the way from the lower to the upper layer, the residual, and lightness. */
interface Way {
  readonly along: Values;
  readonly aside: readonly Values[];
  readonly light: Values;
  readonly step: readonly number[];
  readonly crossing: number;
}

/**
 * Return a function that finds the border near a sample of these strips: null when fewer than three of them show one,
 * or when a closer look finds a different one. Samples that lead to the same position give it once.
 */
export function borders_of(strips: readonly Strip[]): (place: number) => Border | null {
  const taken = new Map<number, Border | null>();
  const look_at = (place: number) => {
    const border = taken.has(place) ? taken.get(place) : border_around(strips, place);
    taken.set(place, border ?? null);
    return border ?? null;
  };
  return (place) => {
    let middle = place;
    for (let look = 0; look < LOOKS; look++) {
      const border = look_at(middle);
      if (border === null) return null;
      const next = Math.round(0.5 * (border.low + border.high));
      if (look > 0 && Math.abs(next - middle) <= SETTLED) return border;
      middle = next;
    }
    return null;
  };
}

function border_around(strips: readonly Strip[], place: number): Border | null {
  const start = Math.max(0, place - VIEW);
  const ways = strips.map(({ colours }) =>
    way_of(
      colours.map((values) => values.subarray(start, Math.min(place + VIEW + 1, SURFACE))),
      place - start,
    ),
  );
  const step = COLOURS.map((c) => median(Float64Array.from(ways, (way) => at(way.step, c))));
  const shown = ways.flatMap((way, s) => (dot(way.step, step) > SEEN * dot(step, step) ? [s] : []));
  if (shown.length < 3) return null;
  const beside = (s: number) => at(strips, s).beside;
  const course = course_of(shown.map((s) => [beside(s), at(ways, s).crossing]));
  const seen = together(shown.map((s) => straightened(at(ways, s), course.at(beside(s)))));
  const { low, high, dark } = ends(seen);
  return {
    low: start + low,
    high: start + high,
    dark,
    shown,
    scatter: course.scatter,
    slope: course.slope,
    step,
    sharpness: sharpness(seen, low, high),
    unlike: unlike(seen, low, high),
  };
}

function way_of(colours: readonly Values[], place: number): Way {
  const last = at(colours, 0).length;
  const level = (from: number) =>
    colours.map((values) => median(values.subarray(clamped(from, 0, last - 4), clamped(from + STRETCH, 4, last))));
  const below = level(place - GAP - STRETCH + 1);
  const above = level(place + GAP);
  const step = above.map((value, c) => value - at(below, c));
  const size = dot(step, step) + 1e-9;
  const off = colours.map((values, c) => values.map((value) => value - at(below, c)));
  const along = at(off, 0).map((_, i) => step.reduce((sum, value, c) => sum + (value * at(at(off, c), i)) / size, 0));
  const aside = off.map((values, c) =>
    values.map((value, i) => (value - at(along, i) * at(step, c)) / Math.sqrt(size)),
  );
  const least = Math.min(0, at(step, 0));
  return { along, aside, light: at(off, 0).map((value) => value - least), step, crossing: crossing(along, place) };
}

/**
 * Return where half the step is reached, between samples: the split with the least on the wrong sides. Print is thin
 * and hardly counts, because anything beyond the height of the step counts no more than that.
 */
function crossing(along: Values, place: number): number {
  let best = place;
  let least = Number.POSITIVE_INFINITY;
  let wrong = 0;
  for (let i = 0; i < along.length - 1; i++) {
    wrong += Math.min(Math.abs(at(along, i)), 1) - Math.min(Math.abs(1 - at(along, i)), 1);
    if (wrong < least && Math.abs(i - place) <= REACH) [best, least] = [i, wrong];
  }
  const [here, next] = [at(along, best), at(along, best + 1)];
  return best + clamped((0.5 - here) / (next - here || 1), 0, 1);
}

/** Return the border's course across the tube from where strips show it: it may lean and bend toward the walls. */
function course_of(spots: readonly (readonly [number, number])[]) {
  const slopes = spots.flatMap(([u, y], i) =>
    spots.slice(i + 1).flatMap(([v, z]) => (Math.abs(v - u) > APART ? [(z - y) / (v - u)] : [])),
  );
  const slope = slopes.length > 0 ? median(Float64Array.from(slopes)) : 0;
  const widest = Math.max(...spots.map(([u]) => Math.abs(u)));
  const level = spots.map(([u, y]) => [Math.abs(u) / widest, y - slope * u] as const);
  const middle = (some: readonly (readonly [number, number])[]) => median(Float64Array.from(some, ([, y]) => y));
  const [inner, outer] = [level.filter(([u]) => u <= 0.4), level.filter(([u]) => u > 0.6)];
  // Between the two, u squared grows by 0.6 on average.
  const bends = inner.length > 1 && outer.length > 1;
  const bend = bends ? clamped((middle(outer) - middle(inner)) / 0.6, -MOST_BEND, MOST_BEND) : 0;
  const flat = level.map(([u, y]) => [u, y - bend * u ** 2] as const);
  const on_axis = middle(flat);
  const scatter = 1.4826 * median(Float64Array.from(flat, ([, y]) => Math.abs(y - on_axis)));
  return { scatter, slope, at: (u: number) => slope * u + bend * (u / widest) ** 2 };
}

/** A strip shifted so that its border is where the axis has it. */
function straightened(way: Way, by: number): Way {
  const move = (values: Values) => values.map((_, i) => interpolated(values, i + by));
  return {
    ...way,
    along: move(way.along),
    aside: way.aside.map(move),
    light: move(way.light),
    crossing: way.crossing - by,
  };
}

/** What most of the strips show. */
function together(ways: readonly Way[]): Way {
  const most = (of: (way: Way) => Values) => ranked(ways.map(of), 0.5);
  const along = most((way) => way.along);
  const place = Math.round(median(Float64Array.from(ways, (way) => way.crossing)));
  return {
    along,
    aside: COLOURS.map((c) => most((way) => at(way.aside, c))),
    light: most((way) => way.light),
    step: at(ways, 0).step,
    crossing: crossing(along, place),
  };
}

/** How far every sample's colour is from the lower or the upper layer's, shares of the step. */
function distance(way: Way, layer: 0 | 1): Values {
  return lengths([way.along.map((value) => value - layer), ...way.aside]);
}

/** Where the lower layer ends and the upper one begins; the half-height points of a band that is neither. */
function ends(way: Way) {
  const [lower, upper] = [distance(way, 0), distance(way, 1)];
  const middle = Math.floor(way.crossing);
  let [low, high] = [middle, middle + 1];
  while (low > 0 && at(lower, low) > SAME) low -= 1;
  while (high < upper.length - 1 && at(upper, high) > SAME) high += 1;
  const neither = (i: number) => Math.min(at(lower, i), at(upper, i));
  let peak = low;
  for (let i = low; i <= high; i++) if (neither(i) > neither(peak)) peak = i;
  if (neither(peak) <= FOREIGN)
    return { low: fall(lower, middle + 1, -1, SAME), high: fall(upper, middle, 1, SAME), dark: false };
  return {
    low: fall(lower, peak, -1, 0.5 * at(lower, peak)),
    high: fall(upper, peak, 1, 0.5 * at(upper, peak)),
    dark: at(way.light, peak) < 0,
  };
}

/** Return where values first fall below a level, starting at a sample, between samples. */
function fall(values: Values, from: number, way: 1 | -1, level: number): number {
  let i = from;
  while (i + way >= 0 && i + way < values.length && at(values, i + way) > level) i += way;
  const [here, there] = [at(values, i), at(values, clamped(i + way, 0, values.length - 1))];
  return here > level && level >= there ? i + (way * (here - level)) / (here - there) : i;
}

/** The largest part of the step within three samples. */
function sharpness({ along, aside }: Way, low: number, high: number): number {
  let most = 0;
  for (let i = Math.max(0, Math.floor(low) - 2); i <= Math.min(Math.ceil(high) + 2, along.length - 4); i++)
    most = Math.max(most, Math.hypot(...[along, ...aside].map((values) => at(values, i + 3) - at(values, i))));
  return most;
}

function unlike(way: Way, low: number, high: number) {
  const [lower, upper] = [distance(way, 0), distance(way, 1)];
  const typical = (values: Values, from: number, to: number) => {
    const part = values.subarray(Math.max(0, Math.round(from)), Math.max(0, Math.round(to)));
    return part.length < 6 ? 0 : median(part);
  };
  return {
    near: Math.max(typical(lower, low - 14, low - 2), typical(upper, high + 3, high + 15)),
    far: Math.max(typical(lower, low - 32, low - 16), typical(upper, high + 17, high + 33)),
  };
}

export function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, c) => sum + value * at(b, c), 0);
}
