/** A person's settings, and the phone's last position. */

import type { Sampled } from "../records";

export interface Settings {
  temperature_unit: "C" | "F";
  volume_unit: "L" | "gal";
  distance_unit: "km" | "mi";
  /** The content required by the tune of the vehicle in use, %; null: not set. Saved with the vehicle. */
  own_minimum: number | null;
  /** Key in the specifications, null: none chosen. */
  specification: string | null;
  /** Origin of the server, "" for the one that the app came from. */
  server: string;
  /** Whether new tests are shared; null: not decided yet. */
  share: boolean | null;
  look: "auto" | "light" | "dark" | "sunlight";
  settle_minutes: number;
  /** Default water in the fuel, %. */
  fuel_water: number;
  tube: string | null;
  /** Codes of the regions whose sources and tests are fetched; none: all regions. */
  regions: readonly string[];
  /** What was sampled last, the default for the next sheet. */
  sampled: Sampled | null;
}

export interface Position {
  latitude: number;
  longitude: number;
  /** m, as reported by the phone; null if typed. */
  accuracy: number | null;
  at: string;
}
