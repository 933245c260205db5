/** The temperatures of a sheet: the measured ones, and estimates for the rest. */

import type { Measurement } from "../chemistry/measurement";
import type { Draft, DraftRun } from "../rows/draft";
import { likelyTemperature, type Mixture, USUAL_CONTENT } from "./warming";

export type Temperatures = Pick<Measurement, "temperature" | "temperature_measured"> &
  Partial<
    Pick<
      Measurement,
      "water_temperature" | "water_temperature_measured" | "fuel_temperature" | "fuel_temperature_measured"
    >
  >;

const MINUTE = 60_000;

/**
 * The temperatures of a test, °C; null while the water's is missing. A tube whose temperature was not measured at
 * reading gets the one expected after mixing and cooling; several runs are averaged, since the content is linear in it.
 */
export function temperaturesOf(draft: Draft, runs: readonly DraftRun[]): Temperatures | null {
  const { temperature, temperature_measured, water_temperature = null, fuel_temperature = null } = draft;
  if (temperature !== null) return { temperature, temperature_measured };
  if (water_temperature === null) return null;
  // For a saved test the times of shaking and reading are no longer known, but the temperature difference they led to
  // is.
  const warmer = draft.corrects?.warmer ?? 0;
  const read = runs.map((run) => run.temperature ?? likelyAtReading(draft, run) ?? water_temperature + warmer);
  return {
    temperature: read.reduce((sum, one) => sum + one, 0) / read.length,
    temperature_measured: runs.every((run) => (run.temperature ?? null) !== null),
    water_temperature,
    water_temperature_measured: draft.water_temperature_measured ?? false,
    fuel_temperature,
    fuel_temperature_measured: fuel_temperature !== null && (draft.fuel_temperature_measured ?? false),
  };
}

/** The contents of the tube in a run; null before it is filled, and on a sheet of an earlier version. */
export function mixtureOf(draft: Draft, { water, fuel, line, percent }: DraftRun): Mixture | null {
  const { temperature, water_temperature = null, fuel_temperature = null } = draft;
  if (temperature !== null || water_temperature === null || water === null || fuel === null) return null;
  const read = line === null ? (percent ?? USUAL_CONTENT) : (100 * (line - water)) / fuel;
  return { water, fuel, water_temperature, fuel_temperature: fuel_temperature ?? water_temperature, content: read };
}

/** Minutes since a run's tube was inverted; null if the time was not recorded. */
export function minutesSince({ shaken_at = null }: DraftRun, now: number): number | null {
  return shaken_at === null ? null : (now - shaken_at) / MINUTE;
}

function likelyAtReading(draft: Draft, run: DraftRun): number | null {
  const mixture = mixtureOf(draft, run);
  const minutes = run.read_at == null ? null : minutesSince(run, run.read_at);
  return mixture === null || minutes === null ? null : likelyTemperature(mixture, minutes);
}
