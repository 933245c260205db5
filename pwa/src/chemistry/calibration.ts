// What is known about a tube: its marks' true volumes, the kind of its printed scale, its offset against a known
// sample. Counterpart of chemistry/calibration.py.
import { density } from "./density";
import { line_of_content } from "./extraction";
import type { CalibrationMark, Run } from "./measurement";
import { DRAWN_AT } from "./scale";

export const DECISIVE = 2;
export const FITS = 0.015;

/** How well each kind of scale explains the heights of printed marks, as a fraction of the fuel column. */
export interface ScaleCheck {
  readonly kind: "linear" | "corrected" | "cannot_tell";
  readonly linear_misfit: number;
  readonly corrected_misfit: number;
}

/** What a tube reads too low (positive) or too high (negative), %, with its expanded uncertainty (95 %). */
export interface Offset {
  readonly offset: number;
  readonly expanded_uncertainty: number;
  readonly significant: boolean;
}

/** Return the volume in mL of a mass of water in g, weighed at a temperature in degrees Celsius. */
export function volume_of_water(mass: number, temperature: number): number {
  return (1000 * mass) / density(0, temperature);
}

/** Return the true volume for a nominal one: corrections are linear between marks and constant outside. */
export function true_volume(nominal: number, marks: readonly CalibrationMark[]): number {
  const ordered = [...marks].sort((a, b) => a.nominal - b.nominal);
  const first = ordered[0];
  const last = ordered.at(-1);
  if (first === undefined || last === undefined) return nominal;
  if (nominal <= first.nominal) return nominal + first.true - first.nominal;
  for (let k = 1; k < ordered.length; k++) {
    const below = ordered[k - 1] as CalibrationMark;
    const above = ordered[k] as CalibrationMark;
    if (nominal <= above.nominal) {
      const share = (nominal - below.nominal) / (above.nominal - below.nominal);
      return nominal + ((1 - share) * (below.true - below.nominal) + share * (above.true - above.nominal));
    }
  }
  return nominal + last.true - last.nominal;
}

/** Return the true volumes of water, fuel and lower layer in mL. */
export function true_run(
  run: Run,
  line: number,
  marks: readonly CalibrationMark[],
): [water: number, fuel: number, line: number] {
  const water = true_volume(run.water, marks);
  return [water, true_volume(run.water + run.fuel, marks) - water, true_volume(line, marks)];
}

/** Return which kind of scale fits the heights of printed marks, by least squares; calibration.py explains. */
export function scale_check(
  heights: readonly (readonly [percent: number, height: number])[],
  water_height: number,
  fuel_height: number,
  water: number,
  fuel: number,
): ScaleCheck {
  const found = heights.map(([, height]) => (height - water_height) / (fuel_height - water_height));
  const linear_misfit = rms(heights.map(([percent], k) => (found[k] as number) - percent / 100));
  const corrected_misfit = rms(
    heights.map(
      ([percent], k) => (found[k] as number) - (line_of_content(percent, water, fuel, DRAWN_AT, 0) - water) / fuel,
    ),
  );
  const better = Math.min(linear_misfit, corrected_misfit);
  const worse = Math.max(linear_misfit, corrected_misfit);
  if (heights.length < 3 || better > FITS || worse < DECISIVE * better || worse < FITS / 2)
    return { kind: "cannot_tell", linear_misfit, corrected_misfit };
  return { kind: linear_misfit < corrected_misfit ? "linear" : "corrected", linear_misfit, corrected_misfit };
}

/** Return the offset of a tube from a fuel of known content tested in it, all in %; positive: the tube reads low. */
export function known_sample(
  content: number,
  expanded_uncertainty: number,
  known: number,
  known_expanded_uncertainty: number,
): Offset {
  const offset = known - content;
  const limit = Math.sqrt(expanded_uncertainty ** 2 + known_expanded_uncertainty ** 2);
  return { offset, expanded_uncertainty: limit, significant: Math.abs(offset) > limit };
}

function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / Math.max(values.length, 1));
}
