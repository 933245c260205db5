// Whether a lower layer would have frozen at the temperature that was entered. Twin of chemistry/freezing.py.
import table from "@constants/chemistry/freezing.json";

const SLACK = 2;

/** Return the freezing point, degrees Celsius, of a layer with a mass fraction of ethanol; at 0.3 and above -20.5. */
export function freezing_point(strength: number): number {
  const { mass_fraction: strengths, celsius } = table;
  const above = strengths.findIndex((node) => node > strength);
  if (above < 0) return celsius.at(-1) as number;
  if (above === 0) return celsius[0] as number;
  const [low, high] = [strengths[above - 1] as number, strengths[above] as number];
  const [from, to] = [celsius[above - 1] as number, celsius[above] as number];
  return from + ((to - from) * (strength - low)) / (high - low);
}

/** Return whether a layer would be ice, or partly, at a temperature in degrees Celsius. */
export function freezes(strength: number, temperature: number): boolean {
  return temperature < freezing_point(strength) - SLACK;
}
