// What is measured in one test: the tube, its runs and the conditions. Counterpart of chemistry/measurement.py.
import type { Liquid, Scale as ScaleKind } from "../records";

export type { Liquid, ScaleKind };

/** The version of the tube model, saved with every result; budget.py lists them. */
export const MODEL = 2;

/** Water in the fuel if nothing is known, % (V/V). */
export const USUAL_FUEL_WATER = 0.5;

/** A mark of a tube: the volume printed at it and the volume weighed to it, mL. */
export interface CalibrationMark {
  readonly nominal: number;
  readonly true: number;
}

/** A tube and what is known about it; measurement.py explains each field. */
export interface Tube {
  readonly scale: ScaleKind;
  readonly graduation: number;
  readonly liquid: Liquid;
  readonly tolerance: number | null;
  readonly calibration?: readonly CalibrationMark[];
  readonly offset?: number;
  readonly offset_uncertainty?: number;
  readonly offset_content?: number | null;
}

/** One filling, in mL, the line also as a printed percent; line_half_width: mL, from a photo; tube: if not the test's; set_aside: why it does not count. */
export interface Run {
  readonly water: number;
  readonly fuel: number;
  readonly line: number | null;
  readonly percent: number | null;
  readonly top: number | null;
  readonly line_half_width?: number | null;
  readonly tube?: Tube | null;
  readonly set_aside?: string;
}

/** One or more runs on one sample; temperatures in degrees Celsius, fuel_water in % (V/V); measurement.py explains. */
export interface Measurement {
  readonly tube: Tube;
  readonly runs: readonly Run[];
  readonly temperature: number;
  readonly temperature_measured: boolean;
  readonly fuel_water: number;
  readonly water_temperature?: number | null;
  readonly water_temperature_measured?: boolean;
  readonly fuel_temperature?: number | null;
  readonly fuel_temperature_measured?: boolean;
}

/** Return the runs that count: all that are not set aside. */
export function counted<Of extends Run>({ runs }: { readonly runs: readonly Of[] }): Of[] {
  return runs.filter((run) => !run.set_aside);
}
