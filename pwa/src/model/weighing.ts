/** A tube's marks, checked by weighing the water that they hold. */

import { volume_of_water } from "../chemistry/calibration";
import { LEAST_FILL, MARK_ERROR, MOST_FILL, tube_problems } from "../chemistry/limits";
import type { TubeRow, WeighedMark } from "../rows/tube";

/** Marks that a record carries. */
export const MOST_MARKS = 24;
/** Water that a tube can hold, g. */
export const LEAST_MASS = LEAST_FILL;
export const MOST_MASS = MOST_FILL * (1 + MARK_ERROR);
/** Water that is liquid, in the range of the density formula, °C. */
export const COLDEST_WATER = 0;
export const WARMEST_WATER = 40;

/** What a person enters; null: nothing usable yet. */
export interface Weighing {
  /** The mark, mL; the water in it, g and °C. */
  nominal: number | null;
  mass: number | null;
  temperature: number | null;
  /** Smallest step that the balance shows, g. */
  resolution: number;
}

/** Share by which air lifts water more than a balance's weights: 1.2 kg/m³ of air, 8000 of weights (OIML R 111). */
const BUOYANCY = 1.2 * (1 / 998.2 - 1 / 8000);

/** The mark that was weighed; null while something is missing. */
export function weighedMark(weighing: Weighing, now: Date): WeighedMark | null {
  const { nominal, mass, temperature, resolution } = weighing;
  if (nominal === null || mass === null || temperature === null) return null;
  const volume = volume_of_water(mass, temperature);
  return { nominal, true: volume, mass, temperature, resolution, weighed_at: now.toISOString() };
}

/** How far the weighed volume may be off, mL: half a step of the balance, and the buoyancy of air. */
export function uncertaintyOf(mark: WeighedMark): number {
  return volume_of_water(mark.resolution / 2 + BUOYANCY * mark.mass, mark.temperature);
}

/** What the mark holds more than is printed at it, mL. */
export function excessOf(mark: WeighedMark): number {
  return mark.true - mark.nominal;
}

/** impossible: no tube is off by so much. beyond_tolerance: more than the tube states. within: not to be told from none. */
export type Verdict = "impossible" | "beyond_tolerance" | "within" | "differs";

/** What to say of a mark before it is kept: the limits are those under which results are computed. */
export function verdictOf(row: TubeRow, mark: WeighedMark): Verdict {
  const calibration = [...row.calibration.filter((one) => one.nominal !== mark.nominal), mark];
  if (tube_problems({ ...row, calibration }).some((problem) => problem.code === "calibration_range"))
    return "impossible";
  const off = Math.abs(excessOf(mark));
  if (off <= uncertaintyOf(mark)) return "within";
  return row.tolerance !== null && off > row.tolerance + uncertaintyOf(mark) ? "beyond_tolerance" : "differs";
}

/** The next mark that is worth weighing, mL, after those that are weighed and `just`: the fill marks first. */
export function nextMark(row: TubeRow, just: WeighedMark | null = null): number {
  const done = new Set([...row.calibration, ...(just ? [just] : [])].map((mark) => mark.nominal));
  return [row.water_mark, row.fuel_mark].find((nominal) => !done.has(nominal)) ?? row.fuel_mark;
}

/** What a mark may be off by at most, mL, before it counts as weighed or typed wrongly. */
export function mostOff(row: TubeRow, mark: WeighedMark): number {
  return MARK_ERROR * Math.max(mark.nominal, ...row.calibration.map((one) => one.nominal));
}
