// The car's fuel composition sensor: what it reads, and whether it agrees with the tank. Counterpart of chemistry/sensor.py.
import data from "@constants/chemistry/sensor.json";
import { NORMAL } from "./coverage";

const [HZ_LOW, HZ_HIGH] = data.frequency_hz as [number, number];
const [PERCENT_LOW, PERCENT_HIGH] = data.content_percent as [number, number];
const [MS_LOW, MS_HIGH] = data.pulse_ms as [number, number];
const [COLD, HOT] = data.temperature_c as [number, number];
export const CONTAMINATED_ABOVE = data.contaminated_above_hz;
export const ACCURACY = data.accuracy_points;
export const EXPANDED_UNCERTAINTY = (NORMAL * ACCURACY) / Math.sqrt(3);

export type Signal = "normal" | "out_of_range" | "contaminated";

/** Sensor minus prediction, %: the difference, its expanded uncertainty (95 %), and whether they agree. */
export interface Comparison {
  readonly difference: number;
  readonly expanded_uncertainty: number;
  readonly agree: boolean;
}

/** Return the ethanol content in % for a frequency in Hz: 50 Hz is 0 %, 150 Hz is 100 %. */
export function content_of_frequency(frequency: number): number {
  return PERCENT_LOW + ((frequency - HZ_LOW) * (PERCENT_HIGH - PERCENT_LOW)) / (HZ_HIGH - HZ_LOW);
}

/** Return the frequency in Hz for a content in %. */
export function frequency_of_content(content: number): number {
  return HZ_LOW + ((content - PERCENT_LOW) * (HZ_HIGH - HZ_LOW)) / (PERCENT_HIGH - PERCENT_LOW);
}

/** Return the fuel temperature in degrees Celsius for a pulse width in ms: 1 ms is -40, 5 ms is 125. */
export function temperature_of_pulse(width: number): number {
  return COLD + ((width - MS_LOW) * (HOT - COLD)) / (MS_HIGH - MS_LOW);
}

/** Return what a frequency in Hz says about the signal itself. */
export function signal(frequency: number): Signal {
  if (frequency > CONTAMINATED_ABOVE) return "contaminated";
  return HZ_LOW <= frequency && frequency <= HZ_HIGH ? "normal" : "out_of_range";
}

/** Return whether the sensor's content agrees with the predicted one, both in %, within both uncertainties (95 %). */
export function compare(predicted: number, expanded_uncertainty: number, sensed: number): Comparison {
  const limit = Math.sqrt(expanded_uncertainty ** 2 + EXPANDED_UNCERTAINTY ** 2);
  const difference = sensed - predicted;
  return { difference, expanded_uncertainty: limit, agree: Math.abs(difference) <= limit };
}
