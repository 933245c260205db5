/** A run sheet in progress, or one that corrects a saved test. */

import type { PhotoMarks, Sampled } from "../records";

export interface DraftRun {
  water: number | null;
  fuel: number | null;
  /** Closed, inverted, vented. */
  shaken: boolean;
  /** End of settling, wall clock, ms since 1970; correct after the phone has slept. */
  settle_until: number | null;
  /** When it was inverted, and when its line was first entered, ms since 1970; older sheets have neither. */
  shaken_at?: number | null;
  read_at?: number | null;
  /** °C in the tube, measured at reading. */
  temperature?: number | null;
  /** A tube other than the sheet's. */
  tube?: string | null;
  /** Why it does not count; false: the line was entered, but not yet confirmed as the reading. */
  set_aside?: string;
  confirmed?: boolean;
  line: number | null;
  percent: number | null;
  top: number | null;
  /** How far the line may be from the reading, mL, if there is a photo. */
  line_half_width: number | null;
  marks: PhotoMarks | null;
  /** Digest of this run's photo; the test's photos are those of its runs. */
  photo: string | null;
}

/** What a sheet needs from the saved test it corrects, in addition to its own fields. */
export interface Corrected {
  tested_at: string;
  shared: boolean;
  /** K by which the tube was assumed warmer than the water, if it was not measured at reading. */
  warmer: number;
  /** Photos of the test that belong to none of its runs. */
  loose: readonly string[];
}

/** The run sheet in progress; saved at every entry. */
export interface Draft {
  /** Id of the test it becomes, so that saving twice cannot make two tests. */
  id: string;
  started_at: string;
  source: string | null;
  sampled: Sampled | null;
  sampled_at: string | null;
  tube: string | null;
  /** °C of everything, on a sheet from before each liquid had its own temperature; null on any other. */
  temperature: number | null;
  temperature_measured: boolean;
  /** °C when filled; fuel: null if unknown. */
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
  /** The open stage. */
  at?: string | null;
  /** Only on a sheet that corrects a saved test; its id is the test's. */
  corrects?: Corrected;
}
