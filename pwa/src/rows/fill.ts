/** A fill-up of a vehicle. Private: never sent. Volumes in L, contents in % (V/V), uncertainties expanded (95 %). */

import type { Tank } from "./vehicle";

/** What one station or can added. */
export interface FilledPart {
  volume: number;
  /** null: not known. */
  content: number | null;
  expanded_uncertainty: number | null;
  source: string | null;
  /** The name of the station or can at the time; "" if none was given. */
  name: string;
  /** Where the content comes from. estimate: the station's expected next fill. */
  from: "test" | "estimate" | "typed";
  test: string | null;
  /** Water in the fuel, as used in the test's computation, % (V/V). */
  water: number | null;
}

export type InTank = Pick<Tank, "volume" | "content" | "expanded_uncertainty">;

export interface FillRow {
  id: string;
  vehicle: string;
  filled_at: string;
  added: readonly FilledPart[];
  before: InTank;
  /** What the tank should contain, computed. */
  after: InTank;
  /** What the sensor showed afterwards; null: not read. */
  sensed: number | null;
  note: string;
}
