// Whether a lower layer would have frozen at the temperature that was entered. Counterpart of chemistry/freezing.py.
import table from "@constants/chemistry/freezing.json";
import { interpolated } from "./interpolation";

const SLACK = 2;

/** Return the freezing point, degrees Celsius, of a layer with a mass fraction of ethanol; -20.5 at 0.3 and above. */
export function freezing_point(strength: number): number {
  return interpolated(table.mass_fraction, table.celsius, strength);
}

/** Return whether a layer would be partly or wholly ice at a temperature in degrees Celsius. */
export function freezes(strength: number, temperature: number): boolean {
  return temperature < freezing_point(strength) - SLACK;
}
