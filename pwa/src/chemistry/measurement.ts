// What is measured in one test: the tube, its runs and the conditions. Twin of chemistry/measurement.py.

export type ScaleKind = "volume" | "linear" | "corrected" | "unknown";
export type Liquid = "water" | "brine";

/** Water in the fuel when nothing is known, % (V/V). */
export const USUAL_FUEL_WATER = 0.5;

/** A tube: kind of scale, smallest step (mL, or printed %), liquid, limit of error of its marks (mL) if stated. */
export interface Tube {
  readonly scale: ScaleKind;
  readonly graduation: number;
  readonly liquid: Liquid;
  readonly tolerance: number | null;
}

/** One filling: water, fuel, line and top of the fuel in mL; or the line as a printed percent. */
export interface Run {
  readonly water: number;
  readonly fuel: number;
  readonly line: number | null;
  readonly percent: number | null;
  readonly top: number | null;
}

/** One or more runs on one sample; temperature in degrees Celsius, fuel_water in % (V/V). */
export interface Measurement {
  readonly tube: Tube;
  readonly runs: readonly Run[];
  readonly temperature: number;
  readonly temperature_measured: boolean;
  readonly fuel_water: number;
}
