// From the line as read to the content: one correction after the other. Counterpart of chemistry/steps.py.
import { true_run } from "./calibration";
import { temperatures_of, tube_of } from "./components";
import { corrected, type Exchange, type Exchanged } from "./exchange";
import { brine_content, content_of_line } from "./extraction";
import type { Measurement, Run } from "./measurement";
import { DRAWN_AT } from "./scale";

/** An offset found this close to the content, %, includes what the exchange table gets wrong. */
export const ALIKE = 10;

/** The content after each correction, %, each added to those before it. */
export function stages_of(measurement: Measurement, run: Run, line: number): [name: string, content: number][] {
  const tube = tube_of(measurement, run);
  const [water, fuel, true_line] = true_run(run, line, tube.calibration ?? []);
  if (tube.liquid === "brine")
    return [
      ["method", brine_content(line, run.water, run.fuel)],
      ["calibration", brine_content(true_line, water, fuel)],
    ];
  const temperatures = temperatures_of(measurement);
  return [
    ["shrinkage", content_of_line(line, run.water, run.fuel, DRAWN_AT, 0)],
    ["calibration", content_of_line(true_line, water, fuel, DRAWN_AT, 0)],
    ["temperature", content_of_line(true_line, water, fuel, temperatures, 0)],
    ["fuel_water", content_of_line(true_line, water, fuel, temperatures, measurement.fuel_water)],
  ];
}

/** The content as read, corrected for what the layers exchange; steps.py gives the reasons. */
export function exchanged_of(measurement: Measurement, run: Run, read: number, table: Exchange): Exchanged {
  const tube = tube_of(measurement, run);
  const found = corrected(table, read, run.fuel / (run.water + run.fuel), measurement.temperature);
  if (tube.liquid === "brine") return { content: read, uncertainty: 0, slope: 1 };
  if (!((tube.offset_uncertainty ?? 0) > 0)) return found;
  const known = tube.offset_content ?? null;
  if (known === null) return { content: read, uncertainty: found.uncertainty, slope: 1 };
  return Math.abs(found.content - known) <= ALIKE ? { ...found, uncertainty: 0 } : found;
}
