/** A run sheet while it fills, and one that corrects a saved test. */

import type { PhotoMarks, Sampled } from "../records";

export interface DraftRun {
  water: number | null;
  fuel: number | null;
  /** Closed, turned over, vented. */
  shaken: boolean;
  /** End of settling, wall clock, ms since 1970; right after any sleep. */
  settle_until: number | null;
  /** When it was turned over, and when its line was first entered, ms since 1970; a sheet of before has neither. */
  shaken_at?: number | null;
  read_at?: number | null;
  /** °C in the tube, measured when it was read. */
  temperature?: number | null;
  /** Another tube than the sheet's. */
  tube?: string | null;
  /** Why it does not count; false: the line was entered, and nobody said yet that this is the reading. */
  set_aside?: string;
  confirmed?: boolean;
  line: number | null;
  percent: number | null;
  top: number | null;
  /** How far the line may lie from the reading, mL, where a photo shows it. */
  line_half_width: number | null;
  marks: PhotoMarks | null;
  /** Digest of this run's photo; the test's photos are those of its runs. */
  photo: string | null;
}

/** What a sheet needs of the saved test that it corrects, beside what stands on the sheet. */
export interface Corrected {
  tested_at: string;
  shared: boolean;
  /** K that the tube counted as warmer than the water, where it was not measured at reading. */
  warmer: number;
  /** Photos of the test that belong to none of its runs. */
  loose: readonly string[];
}

/** The run sheet while it fills; saved at every entry. */
export interface Draft {
  /** Id of the test it becomes: keeping it twice cannot make two tests. */
  id: string;
  started_at: string;
  source: string | null;
  sampled: Sampled | null;
  sampled_at: string | null;
  tube: string | null;
  /** °C of everything, on a sheet of before the liquids had temperatures of their own; null on every other. */
  temperature: number | null;
  temperature_measured: boolean;
  /** °C when filled; fuel: null where it is not known. */
  water_temperature?: number | null;
  water_temperature_measured?: boolean;
  fuel_temperature?: number | null;
  fuel_temperature_measured?: boolean;
  /** % (V/V) */
  fuel_water: number;
  settle_minutes: number;
  runs: DraftRun[];
  note: string;
  photos: string[];
  shared: boolean;
  /** Photos that stay on this phone if the test is shared. */
  unshared_photos?: readonly string[];
  cautions_read: boolean;
  /** The stage that is open. */
  at?: string | null;
  /** Only on a sheet that corrects a saved test: its id is the test's. */
  corrects?: Corrected;
}
