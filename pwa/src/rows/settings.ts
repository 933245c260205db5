/** What a person has set, and where the phone last was. */

import type { Sampled } from "../records";

export interface Settings {
  temperature_unit: "C" | "F";
  volume_unit: "L" | "gal";
  distance_unit: "km" | "mi";
  /** The content that the tune of the vehicle in use asks for, %; null: not set. Kept with the vehicle. */
  own_minimum: number | null;
  /** Key in the specifications, null: none chosen. */
  specification: string | null;
  /** Origin of the server, "" for the one that served the app. */
  server: string;
  /** Whether new tests are shared; null: nobody has decided yet. */
  share: boolean | null;
  look: "auto" | "light" | "dark" | "sunlight";
  settle_minutes: number;
  /** Default water in the fuel, %. */
  fuel_water: number;
  tube: string | null;
  /** Codes of the regions whose sources and tests are fetched; none: all of them. */
  regions: readonly string[];
  /** What was sampled last, offered for the next sheet. */
  sampled: Sampled | null;
}

export interface Position {
  latitude: number;
  longitude: number;
  /** m, as the phone says; null when typed. */
  accuracy: number | null;
  at: string;
}
