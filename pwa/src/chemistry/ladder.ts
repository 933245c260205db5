// Moves marks along the tube's axis until they fit the printed scale: the long strokes at every tenth division.
//
// Every strip across the tube gives a score: how well the long strokes, and no others, are visible where three moved
// marks put them. Beside the shorter strokes only the long ones are left, so a strip there tells one stroke from the
// next. That every tenth stroke is the longest is common practice, no source. All limits are estimates, no source.
import { carried, type Marks, type Place } from "./axis";
import { type Axis, axis_of, type Known } from "./print";
import { at, interpolated, largest_near, type Values } from "./series";

const TENTH = 10;
// A long stroke is compared with this many half divisions on each side.
const NEAR = 4;
// The search range, as a share of the way from the bottom to the fuel mark; never half a tenth division.
const FAR = 0.03;
// Pixels: the first step of the search for the ends and the middle, and the last one.
const COARSE = 2;
const BEND = 4;
// A phone held 6 degrees off level moves the middle by this share of the length relative to the ends (see sight.ts).
const BENT = 0.018;
const FINEST = 0.25;
// The least contrast of long strokes, and the share of it that anything a division away may have.
const LEAST = 1.5;
const SECOND = 0.8;
const FEWEST = 4;
// The least contrast of strokes of any length against the gaps between them.
const TEETH = 0.8;
// How much of their spread is subtracted from the long strokes' mean.
const UNLIKE = 0.6;

interface Scale {
  /** Volumes of long strokes, and of the strokes and gaps on both sides of them. */
  readonly long: Values;
  readonly others: Values;
  /** Of all strokes, and of the gaps halfway between them. */
  readonly every: Values;
  readonly gaps: Values;
  /** mL */
  readonly division: number;
}

type Moves = readonly [bottom: number, water: number, fuel: number];

/**
 * Return the marks on the printed scale, or null when the scale is not visible enough. pixels as in `suggest_line`;
 * tube_width: pixels; division: mL between strokes. `marks.line` is ignored.
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
  const axis = axis_of({ pixels, width, height }, marks, known, tube_width, apart, Math.ceil(2 * FAR * length));
  const moves = best_moves(axis, scale, Math.min(FAR * length, 0.4 * TENTH * apart), apart);
  return moves && moved(marks, moves, length);
}

function scale_of([bottom, , fuel]: Known, division: number): Scale {
  const from = Math.ceil((2 * bottom) / division - 1e-6);
  const halves = Array.from({ length: Math.floor((2 * fuel) / division + 1e-6) - from + 1 }, (_, i) => from + i);
  const volumes = (which: (off: number) => boolean) =>
    Float64Array.from(halves.filter((half) => which(Math.abs(((half + TENTH) % (2 * TENTH)) - TENTH)))).map(
      (half) => (half * division) / 2,
    );
  return {
    long: volumes((off) => off === 0),
    others: volumes((off) => off > 0 && off <= NEAR),
    every: volumes((off) => off % 2 === 0),
    gaps: volumes((off) => off % 2 === 1),
    division,
  };
}

function best_moves(axis: Axis, scale: Scale, far: number, apart: number): Moves | null {
  let best = { score: 0, strip: at(axis.strips, 0), moves: [0, 0, 0] as Moves };
  const tried: { score: number; moves: Moves }[] = [];
  // A coarse move may miss a stroke by a sample.
  const wide = axis.strips.map((strip) => largest_near(strip, 1));
  for (const moves of grid(axis, far)) {
    const { score, strip } = seen_best(axis, wide, places_of(axis, scale, moves));
    if (score > best.score) best = { score, strip: at(axis.strips, strip), moves };
    tried.push({ score, moves });
  }
  const off = (moves: Moves) => Math.max(Math.abs(moves[0] - best.moves[0]), Math.abs(moves[2] - best.moves[2]));
  const second = Math.max(0, ...tried.filter(({ moves }) => off(moves) >= apart).map(({ score }) => score));
  if (best.score < LEAST || second > SECOND * best.score) return null;
  const exact = climbed(axis, scale, best.strip, best.moves);
  const here = seen_best(axis, wide, places_of(axis, scale, exact)).score;
  const next = [-2, -1, 1, 2].map((by) => seen_best(axis, wide, places_of(axis, along(scale, by), exact)).score);
  const near = Math.max(...exact.map(Math.abs)) <= far + BENT * axis.length;
  return near && Math.max(...next) <= SECOND * here && teeth(axis, scale, exact) >= TEETH ? exact : null;
}

/** The scale shifted up by some divisions. */
function along(scale: Scale, by: number): Scale {
  const up = (volume: number) => volume + by * scale.division;
  return { ...scale, long: scale.long.map(up), others: scale.others.map(up) };
}

/** The contrast of strokes of any length against the gaps between them, in the strip that shows most of them. */
function teeth(axis: Axis, scale: Scale, moves: Moves): number {
  const { long, others } = places_of(axis, { ...scale, long: scale.every, others: scale.gaps }, moves);
  return Math.max(...axis.strips.map((strip) => mean_at(strip, long) - mean_at(strip, others)));
}

/** The strip that best shows long strokes at their positions and nowhere else. */
function seen_best(axis: Axis, wide: readonly Values[], places: Places): { score: number; strip: number } {
  const long = places.long.map(Math.round);
  const others = places.others.map(Math.round);
  let best = { score: 0, strip: 0 };
  for (let strip = 0; strip < wide.length; strip++) {
    const score = alike(at(wide, strip), long) - mean_of(at(axis.strips, strip), others);
    if (score > best.score) best = { score, strip };
  }
  return best;
}

/** Every shift of both ends; the water mark between them moves along, and a little more or less. */
function* grid({ water, length }: Axis, far: number): Generator<Moves> {
  const most = BEND * Math.ceil((BENT * length) / BEND);
  for (let bottom = -far; bottom <= far; bottom += COARSE) {
    for (let fuel = Math.max(-far, bottom - far); fuel <= Math.min(far, bottom + far); fuel += COARSE) {
      const middle = bottom + (water / length) * (fuel - bottom);
      for (let bend = -most; bend <= most; bend += BEND) yield [bottom, middle + bend, fuel];
    }
  }
}

interface Places {
  readonly long: Values;
  readonly others: Values;
}

/** The samples where the strokes of the scale are expected. */
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

/** The contrast of the long strokes against what is between them. */
function score_of(strip: Values, { long, others }: Places): number {
  return mean_at(strip, long) - mean_at(strip, others);
}

function mean_at(strip: Values, places: Values): number {
  let total = 0;
  for (const place of places) total += interpolated(strip, place);
  return total / places.length;
}

/** How much a strip shows at most of the positions: if only some fit, they count less than half. */
function alike(strip: Values, places: Values): number {
  let [total, squares] = [0, 0];
  for (let i = 0; i < places.length; i++) {
    const value = strip[places[i] as number] ?? 0;
    total += value;
    squares += value * value;
  }
  const mean = total / places.length;
  return mean - UNLIKE * Math.sqrt(Math.max(0, squares / places.length - mean * mean));
}

function mean_of(strip: Values, places: Values): number {
  let total = 0;
  for (let i = 0; i < places.length; i++) total += strip[places[i] as number] ?? 0;
  return total / places.length;
}

/** The moves at which no smaller step improves the strip's score. */
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
