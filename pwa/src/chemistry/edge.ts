// Where the layers part, as a suggestion: the step in colour that spans the tube, or that there is no clear one.
import { type Border, border_near, type Placed } from "./border";
import { added, at, first_largest, largest_near, lengths, median, ranked, running_median, type Values } from "./series";

/** A profile has 400 samples from the water mark to the fuel mark and begins 20 samples below the water mark. */
export const PER_COLUMN = 400;
export const BELOW = 20;
export const SAMPLES = BELOW + PER_COLUMN + 1;
const LOWEST = 32;
const HIGHEST = 376;
const STRETCH = 16;
const GAP = 5;
const BEHIND = 10;
const ASLANT = 48;
const FAINT = 0.7;
const MIDDLE = 0.1;
const LEAST_STRENGTH = 4;
const COMMON = 0.3;
const WIDEST = 0.045;
const APART = 30;
const RIVAL_LEVELS = 6;
const RIVAL_SHARE = 0.25;
const RIVAL_STRENGTH = 2.5;
const CANDIDATES = 8;

/** Luminance, blueness and redness along a line (levels of 255, the last two relative to the first). */
export type Strip = readonly Values[];

/** Colours along the tube's axis: strips side by side, and one strip on each side of the tube. */
export interface Profile {
  readonly inside: readonly Placed[];
  readonly beside: readonly Strip[];
}

/** Where the layers part, and within which half-width: shares of the way from the water mark to the fuel mark. */
export interface Edge {
  readonly share: number;
  readonly half_width: number;
}

/** How much every strip steps at every place where a line is looked for: levels, and multiples of the usual. */
interface Steps {
  readonly size: Values;
  readonly strength: Values;
}

/** Return the parting line, or null when there is no clear one. */
export function find_line(profile: Profile): Edge | null {
  const steps = profile.inside.filter(({ beside }) => Math.abs(beside) <= MIDDLE).map(({ strip }) => steps_of(strip));
  const score = added(steps.map(({ strength }) => strength.map(Math.sqrt)));
  const sides = profile.beside.map((strip) => strip.map(step_of));
  const D = (globalThis as any).DEBUG; D.c = [];
  for (const place of candidates(score)) {
    const border = border_near(profile.inside, place + LOWEST, MIDDLE) as any;
    const d: any = { place, border, score: at(score, place) }; D.c.push(d);
    if (border) {
      const first = profile.inside.findIndex(({ beside }) => Math.abs(beside) <= MIDDLE);
      const mine = border.seenIdx.map((j: number) => j - first);
      const at_ = Math.min(Math.max(Math.round(0.5 * (border.low + border.high)) - LOWEST, 0), score.length - 1);
      const m = (f: (s: any) => number) => median(Float64Array.from(mine, (j: number) => f(steps[j])));
      d.strength = m((s) => Math.max(...s.strength.subarray(Math.max(0, at_ - 4), at_ + 5)));
      d.size = m((s) => at(s.size, at_)); const v = border.usual, n = Math.hypot(...v) + 1e-9;
      const proj = sides.map((side) => side[0]!.map((_, i) => Math.max(0, v.reduce((t: number, x: number, c: number) => t + x * side[c]![i]!, 0) / n)));
      d.one = [8, 12, 20].map((r) => Math.max(...proj.map((p) => Math.max(...p.subarray(Math.max(0, at_ - r), at_ + r + 1)))));
      const [l, r] = proj.map((p) => largest_near(p, 8)) as [Values, Values];
      d.two = [24, 48].map((A) => { let most = 0; for (let k = -A; k <= A; k++) if (at_ - k >= 0 && at_ - k < l.length && at_ + k >= 0 && at_ + k < r.length) most = Math.max(most, Math.min(at(l, at_ - k), at(r, at_ + k))); return most; });
      d.vec = n;
    }
  }
  const first = D.c.find((d: any) => d.border && plain(d.border));
  return first ? edge_of(first.border) : null;
}

function edge_of(border: Border): Edge {
  const width = border.high - border.low;
  const middle = border.low + (border.dark ? 0.3 : 0.5) * width;
  return { share: (middle - BELOW) / PER_COLUMN, half_width: (0.5 * width) / PER_COLUMN };
}

function plain(border: Border): boolean {
  return border.high - border.low <= WIDEST * PER_COLUMN && border.shown > 0.4 && border.low < HIGHEST + 5;
}

/** The places with the highest scores, apart from each other. */
function candidates(score: Values): number[] {
  const left = score.slice();
  return Array.from({ length: CANDIDATES }, () => {
    const place = first_largest(left);
    left.fill(0, Math.max(0, place - STRETCH), place + STRETCH + 1);
    return place;
  });
}

function steps_of(strip: Strip): Steps {
  const steps = strip.map(step_of);
  const spread = steps.map((values) => 1.4826 * median(values.map(Math.abs)) + FAINT);
  const strength = lengths(steps.map((values, c) => values.map((value) => value / at(spread, c))));
  return { size: lengths(steps), strength };
}

/** The step of one colour at every place: the median of a stretch above less that of a stretch below. */
function step_of(values: Values): Values {
  const middles = running_median(values, STRETCH);
  return Float64Array.from(
    { length: HIGHEST - LOWEST },
    (_, i) => at(middles, LOWEST + GAP + i) - at(middles, LOWEST - GAP - STRETCH + 1 + i),
  );
}

/** The size of the steps near every place that both sides of the tube show, also where an edge runs aslant. */
function behind_of(beside: readonly Strip[]): Values {
  const [left, right] = beside.map((strip) => largest_near(lengths(strip.map(step_of)), BEHIND)) as [Values, Values];
  return left.map((_, i) => {
    let most = 0;
    for (let d = Math.max(-ASLANT, i - right.length + 1, -i); d <= Math.min(ASLANT, i, right.length - 1 - i); d++)
      most = Math.max(most, Math.min(at(left, i - d), at(right, i + d)));
    return most;
  });
}

/** Whether, in what the strips have in common, the step at `place` is strong enough and has no rival. */
function stands_out(steps: readonly Steps[], behind: Values, place: number, d: any): boolean {
  const strength = ranked(steps.map((one) => one.strength), COMMON);
  const size = ranked(steps.map((one) => one.size), COMMON);
  const best = Math.max(...strength.subarray(Math.max(0, place - 4), place + 5));
  d.strength = best; d.size = at(size, place);
  if (best < LEAST_STRENGTH) return false;
  return !size.some((value, i) => {
    if (Math.abs(i - place) < APART || i >= 370 - LOWEST) return false;
    const rest = Math.max(0, value - at(behind, i));
    if (rest < Math.max(RIVAL_LEVELS, RIVAL_SHARE * at(size, place))) return false;
    const r = (rest * at(strength, i)) / Math.max(value, 1e-9) >= RIVAL_STRENGTH;
    if (r) d.rival = [i, rest, at(strength, i)];
    return r;
  });
}
