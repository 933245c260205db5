/** A tube on this phone: the part that goes into a test, what its owner found out about it, and its history. */

import type { ScaleCheck } from "../chemistry/calibration";
import type { CalibrationMark, Liquid, Scale, Tube } from "../records";

/** A mark checked by weighing water. */
export interface WeighedMark extends CalibrationMark {
  /** Water, g and °C. */
  mass: number;
  temperature: number;
  /** The balance's smallest step, g. */
  resolution: number;
  weighed_at: string;
}

/** A fuel of known content tested in the tube: contents in %, uncertainties at 95 %. */
export interface KnownSample {
  /** The saved test. */
  test: string;
  known: number;
  known_uncertainty: number;
  /** What the tube read without any offset. */
  measured: number;
  measured_uncertainty: number;
  taken_at: string;
}

/** Heights read along the tube with a ruler, mm above any point below the water mark, and what they show. */
export interface HeightCheck extends ScaleCheck {
  water_height: number;
  fuel_height: number;
  marks: { percent: number; height: number }[];
  checked_at: string;
}

export interface TubeRow extends Required<Omit<Tube, "calibration">> {
  name: string;
  /** Volumes of the two fill marks, mL. */
  water_mark: number;
  fuel_mark: number;
  made_at: string;
  put_away: boolean;
  calibration: WeighedMark[];
  /** The source of the offset; null without one. */
  sample: KnownSample | null;
  /** Oldest first. */
  scale_checks: HeightCheck[];
  /** Oldest first. */
  history: TubeChange[];
}

/** What was done to a tube; earlier values are never lost. */
export type TubeChange = { at: string } & (
  | { what: "scale"; before: Scale; after: Scale }
  | { what: "liquid"; before: Liquid; after: Liquid }
  | {
      what: "graduation" | "tolerance" | "water_mark" | "fuel_mark";
      before: number | null;
      after: number | null;
    }
  | { what: "weighed" | "weighing_dropped"; mark: WeighedMark }
  | { what: "scale_checked"; check: HeightCheck }
  | { what: "offset_taken" | "offset_dropped"; sample: KnownSample; offset: number; offset_uncertainty: number }
  | { what: "recomputed"; tests: number }
);

/** A tube as part of a test's record. */
export function recordOf(row: TubeRow): Required<Tube> {
  const { id, scale, graduation, liquid, tolerance, offset, offset_uncertainty, offset_content } = row;
  const calibration = row.calibration.map((mark) => ({ nominal: mark.nominal, true: mark.true }));
  return { id, scale, graduation, liquid, tolerance, calibration, offset, offset_uncertainty, offset_content };
}

/** A tube from an earlier version, with defaults for the newer fields. */
export function wholeTube(row: Partial<typeof LATER> & Omit<TubeRow, keyof typeof LATER>): TubeRow {
  return { ...structuredClone(LATER), ...row };
}

const LATER = {
  calibration: [] as WeighedMark[],
  offset: 0,
  offset_uncertainty: 0,
  offset_content: null as number | null,
  sample: null as KnownSample | null,
  scale_checks: [] as HeightCheck[],
  history: [] as TubeChange[],
};
