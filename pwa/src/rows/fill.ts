/** A fill-up of a vehicle. Private: never sent. Volumes in L, contents in % (V/V), uncertainties expanded (95 %). */

import type { Tank } from "./vehicle";

/** What went in from one station or can. */
export interface FilledPart {
  volume: number;
  /** null: not known. */
  content: number | null;
  expanded_uncertainty: number | null;
  source: string | null;
  /** As the station or can was called then; "" where nobody said. */
  name: string;
  /** Where the content is from. estimate: what the next fill of the station may hold. */
  from: "test" | "estimate" | "typed";
  test: string | null;
  /** Water in the fuel that the test was computed with, % (V/V). */
  water: number | null;
}

export type InTank = Pick<Tank, "volume" | "content" | "expanded_uncertainty">;

export interface FillRow {
  id: string;
  vehicle: string;
  filled_at: string;
  added: readonly FilledPart[];
  before: InTank;
  /** What the tank should hold, by computation. */
  after: InTank;
  /** What the sensor showed after it; null: not read. */
  sensed: number | null;
  note: string;
}
