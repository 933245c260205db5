// Suggests where the layers part: the step in colour that spans the tube, or no clear one.
//
// Steps are differences between medians of stretches of the tube, so thin print hardly counts. The strongest few are
// examined closely (`border.ts`). The line is the one that most strips show, across the tube and not aslant, between
// layers of even colour; a step in the same colours beside the tube belongs to the background. A second step of this
// kind means a band between the layers, or something else that a person has to judge. Where no colour steps, layers of
// one colour may still show a line where they meet (`rim.ts`). All limits below were set on drawn pictures
// (tests/photo/benchmark.py, and the development set of tests/tube_study.py).
import { type Border, borders_of, COLOURS, dot, type Strip } from "./border";
import { rim_of } from "./rim";
import {
  added,
  at,
  clamped,
  first_largest,
  largest_near,
  lengths,
  median,
  running_median,
  type Values,
} from "./series";

/** A profile has 400 samples from the water mark to the fuel mark and starts 20 samples below the water mark. */
export const PER_COLUMN = 400;
export const BELOW = 20;
export const SAMPLES = BELOW + PER_COLUMN + 1;
// Steps are searched from 3 % to 89 % of the fuel column. At the water mark there is the mark itself and no clear water
// below it; near the fuel mark is the fuel surface, which the shrinkage has lowered to 92 % at most. Lines may be a
// little nearer to the ends than steps.
const LOWEST = 32;
const HIGHEST = 376;
const LINES = [28, 374] as const;
// A rival that would make it a band is searched between these samples: above them the fuel's surface steps too, and the
// rim of its near side may be seen below it.
const RIVALS = [36, 374] as const;
// A step is measured over 16 samples on each side, 5 samples from the position.
const STRETCH = 16;
const GAP = 5;
const CANDIDATES = 8;
// The least spread assumed for a colour, in levels of 255.
const FAINT = 0.7;
// A step beside the tube counts within this many samples; if it is aslant, it is as much higher on one side as lower on
// the other.
const BESIDE = 12;
const ASLANT = 48;
const LEVEL = 8;
// A step on one side only may be anything: it counts half.
const ONE_SIDE = 0.5;
// A line: at least 3.5 times the spread, and at least 35 % of it not in the background; at most 3.25 % of the column
// wide; shown by half of the strips; 40 % of it within three samples; leaning by at most 7 degrees. Strips may differ by
// 5 samples (standard deviation), because in low light each of them alone is noisy.
const LEAST_STRENGTH = 3.5;
const OWN = 0.35;
const WIDEST = 13;
const SHOWN = 0.5;
const SHARP = 0.4;
const MOST_SLOPE = 48;
const MOST_SCATTER = 5;
const UNLIKE = { near: 0.5, far: 0.7 };
// A rival: at least 16 samples away; at least 3 levels and half of its step not in the background; 2.5 times the
// spread; 5 % of the line, weighted by the strips that show it.
const APART = 16;
const RIVAL = { levels: 3, strength: 2.5, share: 0.05, own: 0.5, slope: 60 };
// Where the line is within its border, from the lower end. A border is mostly seen from a little above, so its nearer
// end is the lower one. A dark band is the rim that creeps up the glass, and starts at the line.
const WITHIN = { rim: 0.1, other: 0.3 };
// No rim is as high as this; a dark band that high is froth.
const HIGHEST_RIM = 9;
// The position's uncertainty: a share of the border's width, and what cannot be seen (a tube that leans, a thick wall).
const OF_WIDTH = 0.5;
const UNSEEN = 2.8;

/** Colours along the tube's axis (`photo.ts`): strips side by side within the bore, and one on each side of the tube. */
export interface Profile {
  readonly inside: readonly Strip[];
  readonly beside: readonly Strip[];
}

/** Where the layers part, and the half-width: shares of the way from the water mark to the fuel mark. */
export interface Edge {
  readonly share: number;
  readonly half_width: number;
}

/** A border with its size (levels), the part not in the background, and its strength (multiples of spread). */
interface Candidate extends Border {
  readonly middle: number;
  readonly own: number;
  readonly weight: number;
  readonly strength: number;
}

/** Return the parting line, or null when there is no clear one. */
export function find_line({ inside, beside }: Profile): Edge | null {
  const strengths = inside.map(strength_of);
  const sides = beside.map(({ colours }) => colours.map(steps_of));
  const border_near = borders_of(inside);
  const found = places(added(strengths.map((values) => values.map(Math.sqrt)))).flatMap((place) => {
    const border = border_near(place + LOWEST);
    return border === null ? [] : [candidate(border, inside.length, strengths, sides)];
  });
  const lines = found.filter((one) => is_line(one, inside.length));
  const [best] = lines.sort((a, b) => b.weight - a.weight);
  if (best !== undefined) return found.some((other) => is_rival(other, best)) ? null : edge_of(best);
  const rim = rim_of(inside, beside, ...LINES);
  return rim && edge_of({ ...rim, dark: true });
}

function edge_of({ low, high, dark }: Pick<Border, "low" | "high" | "dark">): Edge {
  const width = high - low;
  const place = low + (dark && width < HIGHEST_RIM ? WITHIN.rim : WITHIN.other) * width;
  return { share: (place - BELOW) / PER_COLUMN, half_width: Math.hypot(OF_WIDTH * width, UNSEEN) / PER_COLUMN };
}

/** The positions where strips step most, with a distance between them. */
function places(score: Values): number[] {
  return Array.from({ length: CANDIDATES }, () => {
    const place = first_largest(score);
    score.fill(0, Math.max(0, place - STRETCH), place + STRETCH + 1);
    return place;
  });
}

/** A strip's step at every position where a line is searched, in multiples of its usual step. */
function strength_of({ colours }: Strip): Values {
  return lengths(
    colours.map((values) => {
      const steps = steps_of(values);
      const spread = 1.4826 * median(steps.map(Math.abs)) + FAINT;
      return steps.map((step) => step / spread);
    }),
  );
}

/** The steps of one colour: the median of a stretch above a position minus that of a stretch below. */
function steps_of(values: Values): Values {
  const middles = running_median(values, STRETCH);
  return Float64Array.from(
    { length: HIGHEST - LOWEST },
    (_, i) => at(middles, LOWEST + GAP + i) - at(middles, LOWEST - GAP - STRETCH + 1 + i),
  );
}

function candidate(
  border: Border,
  count: number,
  strengths: readonly Values[],
  sides: readonly (readonly Values[])[],
): Candidate {
  const middle = 0.5 * (border.low + border.high);
  const place = clamped(Math.round(middle) - LOWEST, 0, HIGHEST - LOWEST - 1);
  const size = Math.hypot(...border.step);
  const own = Math.max(0, size - behind(border.step, sides, place));
  const near = (s: number) => Math.max(...at(strengths, s).subarray(Math.max(0, place - 4), place + 5));
  const strength = (median(Float64Array.from(border.shown, near)) * own) / (size + 1e-9);
  return { ...border, middle, own, weight: own * (border.shown.length / count) ** 2, strength };
}

/**
 * The part of a step at a position that the background shows too, levels: the step that both sides of the tube share,
 * or one of them has.
 */
function behind(step: readonly number[], sides: readonly (readonly Values[])[], place: number): number {
  const size = Math.hypot(...step) + 1e-9;
  const alike = sides.map((colours) =>
    at(colours, 0).map((_, i) =>
      Math.max(
        0,
        dot(
          step,
          COLOURS.map((c) => at(at(colours, c), i)),
        ) / size,
      ),
    ),
  );
  const one = Math.max(
    ...alike.map((side) => Math.max(...side.subarray(Math.max(0, place - BESIDE), place + BESIDE + 1))),
  );
  const [left, right] = alike.map((side) => largest_near(side, LEVEL)) as [Values, Values];
  let both = 0;
  for (let d = -ASLANT; d <= ASLANT; d++) both = Math.max(both, Math.min(left[place - d] ?? 0, right[place + d] ?? 0));
  return Math.max(ONE_SIDE * one, both);
}

function is_line(one: Candidate, count: number): boolean {
  return (
    one.strength >= LEAST_STRENGTH &&
    one.own >= OWN * Math.hypot(...one.step) &&
    one.high - one.low <= WIDEST &&
    one.shown.length >= SHOWN * count &&
    one.sharpness >= SHARP &&
    Math.abs(one.slope) <= MOST_SLOPE &&
    one.scatter <= MOST_SCATTER &&
    one.unlike.near <= UNLIKE.near &&
    one.unlike.far <= UNLIKE.far &&
    LINES[0] < one.middle &&
    one.middle < LINES[1]
  );
}

function is_rival(one: Candidate, line: Candidate): boolean {
  return (
    Math.abs(one.middle - line.middle) >= APART &&
    RIVALS[0] < one.middle &&
    one.middle < RIVALS[1] &&
    one.own >= Math.max(RIVAL.levels, RIVAL.own * Math.hypot(...one.step)) &&
    one.strength >= RIVAL.strength &&
    one.weight > RIVAL.share * line.weight &&
    Math.abs(one.slope) < RIVAL.slope &&
    one.scatter <= MOST_SCATTER
  );
}
