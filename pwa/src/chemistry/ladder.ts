// Marks moved along the tube's axis until they fit the printed scale: the long strokes at every tenth division.
//
// Every strip across the tube says how well the long strokes, and no others, are seen where three moved marks put them:
// beside the shorter strokes only the long ones are left, so a strip there knows one stroke from the next. That every
// tenth stroke is the longest is common practice, no source. All limits are estimates, no source.
import { carried, type Marks, type Place } from "./axis";
import { at, clamped, extended, interpolated, median, running_median, type Values } from "./series";

const TENTH = 10;
// Half the strips across, and how far they reach of the tube's outside width.
const STRIPS = 8;
const REACH = 0.42;
// How far marks are looked for, as a share of the way from the bottom to the fuel mark; never half a tenth division.
const FAR = 0.03;
// Pixels: what the ends and the middle are moved by at first, and the last step.
const COARSE = 2;
const BENDS = [-3, 0, 3];
const FINEST = 0.25;
// The least spread of a strip, in levels of 255.
const FAINT = 0.7;
// How much long strokes stand out at least, and how much less anything a division away has to.
const LEAST = 1.2;
const SECOND = 0.75;
const FEWEST = 4;

/** mL that the bottom, water and fuel mark stand for. */
export type Known = readonly [bottom: number, water: number, fuel: number];

interface Scale {
  /** Volumes of long strokes, and of what lies between them. */
  readonly long: Values;
  readonly others: Values;
}

interface Axis {
  readonly length: number;
  /** Where the water mark is, pixels from the bottom mark. */
  readonly water: number;
  /** Samples before the bottom mark. */
  readonly before: number;
  readonly known: Known;
  readonly strips: readonly Values[];
}

type Moves = readonly [bottom: number, water: number, fuel: number];

/**
 * Return the marks on the printed scale, or null when no scale is seen well enough to say.
 * pixels as in `suggest_line`; tube_width: pixels; division: mL between strokes. `marks.line` plays no part.
 */
export function marks_on_scale(
  pixels: ArrayLike<number>,
  width: number,
  height: number,
  marks: Marks,
  known: Known,
  tube_width: number,
  division: number,
): Marks | null {
  const scale = scale_of(known, division);
  const length = Math.hypot(marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y);
  const apart = (length * division) / (known[2] - known[0]);
  if (scale.long.length < FEWEST || apart < 3) return null;
  const axis = axis_of({ pixels, width, height }, marks, known, tube_width, apart);
  const moves = best_moves(axis, scale, Math.min(FAR * length, 0.4 * TENTH * apart), apart);
  return moves && moved(marks, moves, length);
}

function scale_of([bottom, , fuel]: Known, division: number): Scale {
  const long: number[] = [];
  const others: number[] = [];
  for (let half = Math.ceil((2 * bottom) / division - 1e-6); half * division <= 2 * fuel + 1e-6; half++) {
    (half % (2 * TENTH) === 0 ? long : others).push((half * division) / 2);
  }
  return { long: Float64Array.from(long), others: Float64Array.from(others) };
}

interface Pixels {
  readonly pixels: ArrayLike<number>;
  readonly width: number;
  readonly height: number;
}

function axis_of(picture: Pixels, marks: Marks, known: Known, tube_width: number, apart: number): Axis {
  const [x, y] = [marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y];
  const length = Math.hypot(x, y);
  const before = Math.ceil(2 * FAR * length);
  const water = ((marks.water.x - marks.bottom.x) * x + (marks.water.y - marks.bottom.y) * y) / length;
  const strips = Array.from({ length: 2 * STRIPS + 1 }, (_, s) => {
    const aside = ((s - STRIPS) / STRIPS) * REACH * tube_width;
    const light = Float64Array.from({ length: Math.ceil(length) + 2 * before + 1 }, (_, i) =>
      light_at(picture, marks.bottom, [x / length, y / length], i - before, aside),
    );
    return strokes(light, 2 * Math.ceil(apart) + 1);
  });
  // Print may be dark or light.
  return { length, water, before, known, strips: [...strips, ...strips.map((values) => values.map((one) => -one))] };
}

/** Luminance (ITU-R BT.601) of three pixels across the axis, at so many pixels along it and beside it. */
function light_at({ pixels, width, height }: Pixels, from: Place, way: [number, number], along: number, aside: number) {
  let total = 0;
  for (const more of [-1, 0, 1]) {
    const u = clamped(from.x + along * way[0] - (aside + more) * way[1] - 0.5, 0, width - 1);
    const v = clamped(from.y + along * way[1] + (aside + more) * way[0] - 0.5, 0, height - 1);
    const column = Math.min(Math.floor(u), width - 2);
    const row = Math.min(Math.floor(v), height - 2);
    const grey = (index: number) =>
      0.299 * at(pixels, index) + 0.587 * at(pixels, index + 1) + 0.114 * at(pixels, index + 2);
    const [a, b, first] = [u - column, v - row, 4 * (row * width + column)];
    const upper = (1 - a) * grey(first) + a * grey(first + 4);
    const lower = (1 - a) * grey(first + 4 * width) + a * grey(first + 4 * width + 4);
    total += (1 - b) * upper + b * lower;
  }
  return total / 3;
}

/** How much darker every sample is than what is around it, against what is usual; glare counts for little more than a stroke. */
function strokes(light: Values, around: number): Values {
  const usual = running_median(extended(light, around >> 1), around);
  const darker = light.map((value, i) => at(usual, i) - value);
  const spread = 1.4826 * median(darker.map(Math.abs)) + FAINT;
  return darker.map((value) => Math.asinh(value / spread));
}

function best_moves(axis: Axis, scale: Scale, far: number, apart: number): Moves | null {
  let best = { score: 0, strip: at(axis.strips, 0), moves: [0, 0, 0] as Moves };
  const tried: { score: number; moves: Moves }[] = [];
  for (const moves of grid(axis, far)) {
    const places = places_of(axis, scale, moves);
    let here = 0;
    for (const strip of axis.strips) {
      const score = score_of(strip, places);
      here = Math.max(here, score);
      if (score > best.score) best = { score, strip, moves };
    }
    tried.push({ score: here, moves });
  }
  const off = (moves: Moves) => Math.max(Math.abs(moves[0] - best.moves[0]), Math.abs(moves[2] - best.moves[2]));
  const second = Math.max(0, ...tried.filter(({ moves }) => off(moves) >= apart).map(({ score }) => score));
  if (best.score < LEAST || second > SECOND * best.score) return null;
  const exact = climbed(axis, scale, best.strip, best.moves);
  return Math.max(...exact.map(Math.abs)) <= far ? exact : null;
}

/** Every shift of both ends, with the water mark between them moved along and a little off. */
function* grid({ water, length }: Axis, far: number): Generator<Moves> {
  for (let bottom = -far; bottom <= far; bottom += COARSE) {
    for (let fuel = Math.max(-far, bottom - far); fuel <= Math.min(far, bottom + far); fuel += COARSE) {
      for (const bend of BENDS) yield [bottom, bottom + (water / length) * (fuel - bottom) + bend, fuel];
    }
  }
}

interface Places {
  readonly long: Values;
  readonly others: Values;
}

/** Samples at which the strokes of the scale are expected. */
function places_of(
  { water, length, before, known }: Axis,
  { long, others }: Scale,
  [low, middle, high]: Moves,
): Places {
  const [bottom, of_water, fuel] = known;
  const [to_water, to_fuel] = [water + middle - low, length + high - low];
  const seen = (volume: number) =>
    before + low + carried(volume - bottom, of_water - bottom, fuel - bottom, 0, to_water, to_fuel);
  return { long: long.map(seen), others: others.map(seen) };
}

/** How much the long strokes stand out of what lies between them. */
function score_of(strip: Values, { long, others }: Places): number {
  return mean_at(strip, long) - mean_at(strip, others);
}

function mean_at(strip: Values, places: Values): number {
  let total = 0;
  for (const place of places) total += interpolated(strip, place);
  return total / places.length;
}

/** The moves from which no smaller step makes the strip's score better. */
function climbed(axis: Axis, scale: Scale, strip: Values, from: Moves): Moves {
  let moves = from;
  let score = score_of(strip, places_of(axis, scale, moves));
  for (let step = COARSE / 2; step >= FINEST; ) {
    const steps = [0, 1, 2].flatMap((index) =>
      [-step, step].map((by) => moves.map((move, i) => (i === index ? move + by : move)) as unknown as Moves),
    );
    const scores = steps.map((next) => score_of(strip, places_of(axis, scale, next)));
    const best = scores.indexOf(Math.max(...scores));
    if (at(scores, best) > score) [moves, score] = [at(steps, best), at(scores, best)];
    else step /= 2;
  }
  return moves;
}

function moved(marks: Marks, [bottom, water, fuel]: Moves, length: number): Marks {
  const [x, y] = [(marks.fuel.x - marks.bottom.x) / length, (marks.fuel.y - marks.bottom.y) / length];
  const by = (place: Place, way: number): Place => ({ x: place.x + way * x, y: place.y + way * y });
  return { ...marks, bottom: by(marks.bottom, bottom), water: by(marks.water, water), fuel: by(marks.fuel, fuel) };
}
