/** The kind of a printed per cent scale, from the heights of its marks. */

import { FITS, scale_check } from "../chemistry/calibration";
import type { HeightCheck, TubeRow } from "../rows/tube";

/** Marks that a check needs in addition to the water and the fuel mark. */
export const LEAST_MARKS = 3;

/** What a person reads off a ruler, mm from any point below the water mark; null: no valid entry yet. */
export interface Heights {
  water: number | null;
  fuel: number | null;
  marks: readonly { percent: number | null; height: number | null }[];
}

/**
 * Why heights cannot be those of a tube. order: the fuel mark is not above the water mark. outside: a per cent mark is
 * not between the two. repeated: a per cent mark is given twice. falling: a higher per cent mark is not higher up.
 */
export type HeightFault = "order" | "outside" | "repeated" | "falling";

export function faultOf({ water, fuel, marks }: Heights): HeightFault | null {
  if (water === null || fuel === null) return null;
  if (fuel <= water) return "order";
  const whole = wholeMarks(marks);
  if (whole.some(({ height }) => height < water || height > fuel)) return "outside";
  if (new Set(whole.map((mark) => mark.percent)).size < whole.length) return "repeated";
  const rising = [...whole].sort((a, b) => a.percent - b.percent);
  const isFalling = rising.some((mark, at) => at > 0 && mark.height <= (rising[at - 1]?.height ?? 0));
  return isFalling ? "falling" : null;
}

/** What the heights show; null while there are too few or they are impossible. */
export function checkOf(
  row: Pick<TubeRow, "water_mark" | "fuel_mark">,
  heights: Heights,
  now: Date,
): HeightCheck | null {
  const { water, fuel } = heights;
  const marks = wholeMarks(heights.marks);
  if (water === null || fuel === null || marks.length < LEAST_MARKS || faultOf(heights) !== null) return null;
  const pairs = marks.map(({ percent, height }) => [percent, height] as const);
  const found = scale_check(pairs, water, fuel, row.water_mark, row.fuel_mark - row.water_mark);
  return { ...found, water_height: water, fuel_height: fuel, marks, checked_at: now.toISOString() };
}

/** The distance of the marks from each kind of scale, root mean square, mm. */
export function misfitsOf(check: HeightCheck): { linear: number; corrected: number } {
  const column = check.fuel_height - check.water_height;
  return { linear: check.linear_misfit * column, corrected: check.corrected_misfit * column };
}

/** Why a check is inconclusive: neither kind fits the heights, or both fit about equally well. */
export function doubtOf(check: HeightCheck): "neither" | "alike" {
  return Math.min(check.linear_misfit, check.corrected_misfit) > FITS ? "neither" : "alike";
}

function wholeMarks(marks: Heights["marks"]): { percent: number; height: number }[] {
  return marks.flatMap(({ percent, height }) => (percent === null || height === null ? [] : [{ percent, height }]));
}
