// What the printed scale of a tube means: every kind is converted to the volume of the lower layer. Counterpart of
// chemistry/scale.py.
import { content_of_line, line_of_content } from "./extraction";
import type { ScaleKind } from "./measurement";

export type Scale = Exclude<ScaleKind, "unknown">;

/** A corrected scale is assumed to be drawn for this temperature, °C, and for dry fuel. */
export const DRAWN_AT = 20;

/** Return the lower layer's volume in mL for a reading (mL or printed percent). */
export function line_of_reading(scale: Scale, reading: number, water: number, fuel: number): number {
  switch (scale) {
    case "volume":
      return reading;
    case "linear":
      return water + (fuel * reading) / 100;
    case "corrected":
      return line_of_content(reading, water, fuel, DRAWN_AT, 0);
  }
}

/** Return what the scale shows, in mL or printed percent, for a line at `line` mL. */
export function reading_of_line(scale: Scale, line: number, water: number, fuel: number): number {
  switch (scale) {
    case "volume":
      return line;
    case "linear":
      return (100 * (line - water)) / fuel;
    case "corrected":
      return content_of_line(line, water, fuel, DRAWN_AT, 0);
  }
}

/** Return the smallest step of the scale in mL; on a percent scale `graduation` is in printed percent. */
export function step_in_millilitres(scale: ScaleKind, graduation: number, fuel: number): number {
  return scale === "volume" ? graduation : (fuel * graduation) / 100;
}
