/** A fuel can. */

export interface CanRow {
  id: string;
  name: string;
  /** L */
  capacity: number | null;
  volume: number;
  content: number | null;
  expanded_uncertainty: number | null;
  source: string | null;
  test: string | null;
  /** When the sample of that test was taken; retest_days count from here. */
  tested_at: string | null;
  filled_at: string;
  opened_humid_at: string | null;
  retest_days: number;
  emptied_at: string | null;
}
