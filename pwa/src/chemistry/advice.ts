// What would make a result better: each act is tried by computing the measurement again. Twin of chemistry/advice.py.
import { Unusable } from "../errors";
import { type Result, type RunResult, result } from "./budget";
import { brine_line, line_of_content } from "./extraction";
import { MOST_RUNS } from "./limits";
import type { Measurement, Run } from "./measurement";
import { step_in_millilitres } from "./scale";

export type Act =
  | "know_scale"
  | "calibrate_tube"
  | "measure_temperature"
  | "one_more_run"
  | "read_finer"
  | "finer_tube";

export const MOST_ACTS = 2;
export const WORTHWHILE = 0.95;
export const FINER = 2;
export const STRONG = 0.5;
export const DISAGREEING: readonly string[] = ["runs_disagree", "layers_disagree"];

/** An act, and the expanded uncertainty (95 %) of the content, %, that it would leave. */
export interface Advice {
  readonly act: Act;
  readonly expanded_uncertainty: number;
}

/** Return the acts, two at most, that would make the result surest, the best first; advice.py explains. */
export function advice(measurement: Measurement, only: readonly string[] | null = null): Advice[] {
  const found = result(measurement, only);
  if (found.warnings.some((code) => DISAGREEING.includes(code))) return [];
  return acts_of(measurement, found)
    .flatMap(([act, tried]): Advice[] => {
      const expanded_uncertainty = left_by(tried, only);
      return expanded_uncertainty === null ? [] : [{ act, expanded_uncertainty }];
    })
    .filter((one) => one.expanded_uncertainty <= WORTHWHILE * found.expanded_uncertainty)
    .sort((a, b) => a.expanded_uncertainty - b.expanded_uncertainty)
    .slice(0, MOST_ACTS);
}

/** Return by how many points the content changes for ten degrees Celsius more in the tube. */
export function per_ten_degrees(measurement: Measurement): number {
  return result(measurement)
    .components.filter((part) => part.name === "temperature")
    .reduce((sum, part) => sum + 10 * part.sensitivity, 0);
}

/** Return whether the lower layer of a run is more than half ethanol, so that it dissolves hydrocarbons. */
export function strong_layer(measurement: Measurement): boolean {
  const { runs } = result(measurement);
  return measurement.runs.some((run, index) => share_of(measurement, run, (runs[index] as RunResult).content) > STRONG);
}

function acts_of(measurement: Measurement, found: Result): [Act, Measurement[]][] {
  const { tube, runs } = measurement;
  const finer = runs.map((run) => ({ ...run, line_half_width: finer_half_width(measurement, run) }));
  const acts: [Act, Measurement[]][] = [
    ["read_finer", [{ ...measurement, runs: finer }]],
    ["finer_tube", [{ ...measurement, tube: { ...tube, graduation: tube.graduation / FINER } }]],
  ];
  if (tube.scale === "unknown") {
    const kinds = ["linear", "corrected"] as const;
    acts.push(["know_scale", kinds.map((scale) => ({ ...measurement, tube: { ...tube, scale } }))]);
  }
  if (tube.tolerance && !tube.calibration?.length)
    acts.push(["calibrate_tube", [{ ...measurement, tube: { ...tube, tolerance: null } }]]);
  if (!measurement.temperature_measured)
    acts.push(["measure_temperature", [{ ...measurement, temperature_measured: true }]]);
  if (runs.length < MOST_RUNS) {
    const content = (index: number) => (found.runs[index] as RunResult).content;
    const order = runs.map((_, index) => index).sort((a, b) => content(a) - content(b));
    const like = runs[order[Math.floor((runs.length - 1) / 2)] as number] as Run;
    acts.push(["one_more_run", [{ ...measurement, runs: [...runs, like] }]]);
  }
  return acts;
}

function finer_half_width(measurement: Measurement, run: Run): number {
  const scale = measurement.tube.scale === "volume" ? "volume" : "linear";
  const half_step = step_in_millilitres(scale, measurement.tube.graduation, run.fuel) / 2;
  return (run.line_half_width || half_step) / FINER;
}

function left_by(tried: readonly Measurement[], only: readonly string[] | null): number | null {
  const left = tried.flatMap((measurement) => {
    try {
      return [result(measurement, only).expanded_uncertainty];
    } catch (fault) {
      if (fault instanceof Unusable) return [];
      throw fault;
    }
  });
  return left.length > 0 ? Math.max(...left) : null;
}

function share_of(measurement: Measurement, run: Run, content: number): number {
  const { temperature, fuel_water } = measurement;
  const line =
    measurement.tube.liquid === "brine"
      ? brine_line(content, run.water, run.fuel)
      : line_of_content(content, run.water, run.fuel, temperature, fuel_water);
  return ((content / 100) * run.fuel) / line;
}
