/** Checks a tube's marks by weighing the water they hold. */

import { volume_of_water } from "../chemistry/calibration";
import { LEAST_FILL, MARK_ERROR, MOST_FILL, tube_problems } from "../chemistry/limits";
import type { TubeRow, WeighedMark } from "../rows/tube";

/** The most marks a record can have. */
export const MOST_MARKS = 24;
/** Range of the mass of water in a tube, g. */
export const LEAST_MASS = LEAST_FILL;
export const MOST_MASS = MOST_FILL * (1 + MARK_ERROR);
/** Range of liquid water that the density formula covers, °C. */
export const COLDEST_WATER = 0;
export const WARMEST_WATER = 40;

/** A person's entries; null: no valid entry yet. */
export interface Weighing {
  /** The mark, mL; the water in it, g and °C. */
  nominal: number | null;
  mass: number | null;
  temperature: number | null;
  /** The balance's smallest step, g. */
  resolution: number;
}

/** How much more air lifts water than a balance's weights: 1.2 kg/m³ of air, weights of 8000 kg/m³ (OIML R 111). */
const BUOYANCY = 1.2 * (1 / 998.2 - 1 / 8000);

/** The mark as weighed; null while something is missing. */
export function weighedMark(weighing: Weighing, now: Date): WeighedMark | null {
  const { nominal, mass, temperature, resolution } = weighing;
  if (nominal === null || mass === null || temperature === null) return null;
  const volume = volume_of_water(mass, temperature);
  return { nominal, true: volume, mass, temperature, resolution, weighed_at: now.toISOString() };
}

/** The uncertainty of the weighed volume, mL: half a step of the balance, and the buoyancy of air. */
export function uncertaintyOf(mark: WeighedMark): number {
  return volume_of_water(mark.resolution / 2 + BUOYANCY * mark.mass, mark.temperature);
}

/** The true volume of the mark minus the printed one, mL. */
export function excessOf(mark: WeighedMark): number {
  return mark.true - mark.nominal;
}

/** impossible: no tube is off that much. beyond_tolerance: more than the tube's tolerance. within: not significant. */
export type Verdict = "impossible" | "beyond_tolerance" | "within" | "differs";

/** The verdict on a mark before it is saved, by the same limits under which results are computed. */
export function verdictOf(row: TubeRow, mark: WeighedMark): Verdict {
  const calibration = [...row.calibration.filter((one) => one.nominal !== mark.nominal), mark];
  if (tube_problems({ ...row, calibration }).some((problem) => problem.code === "calibration_range"))
    return "impossible";
  const off = Math.abs(excessOf(mark));
  if (off <= uncertaintyOf(mark)) return "within";
  return row.tolerance !== null && off > row.tolerance + uncertaintyOf(mark) ? "beyond_tolerance" : "differs";
}

/** The next mark worth weighing, mL, after those already weighed and `just`: the fill marks first. */
export function nextMark(row: TubeRow, just: WeighedMark | null = null): number {
  const done = new Set([...row.calibration, ...(just ? [just] : [])].map((mark) => mark.nominal));
  return [row.water_mark, row.fuel_mark].find((nominal) => !done.has(nominal)) ?? row.fuel_mark;
}

/** How far a mark may be off, mL, before it counts as weighed or typed wrongly. */
export function mostOff(row: TubeRow, mark: WeighedMark): number {
  return MARK_ERROR * Math.max(mark.nominal, ...row.calibration.map((one) => one.nominal));
}
