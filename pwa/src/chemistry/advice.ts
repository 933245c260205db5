// What would improve a result: each action is tried by computing the measurement again. Counterpart of chemistry/advice.py.
import { Unusable } from "../errors";
import { type Result, type RunResult, result } from "./budget";
import { is_apart } from "./components";
import { BUILT_IN, type Exchange } from "./exchange";
import { line_of_content } from "./extraction";
import { MOST_RUNS } from "./limits";
import { counted, type Measurement, type Run } from "./measurement";
import { step_in_millilitres } from "./scale";

export type Act =
  | "know_scale"
  | "calibrate_tube"
  | "measure_temperature"
  | "one_more_run"
  | "read_finer"
  | "finer_tube"
  | "other_filling";

export const MOST_ACTS = 2;
export const WORTHWHILE = 0.95;
export const FINER = 2;
export const SHARES = [1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 10];
export const DISAGREEING: readonly string[] = ["runs_disagree", "layers_disagree"];

/** An action, the expanded uncertainty (95 %) it would leave, %, and the filling, mL, if the action changes that. */
export interface Advice {
  readonly act: Act;
  readonly expanded_uncertainty: number;
  readonly water: number | null;
  readonly fuel: number | null;
}

/** Return up to two actions that would reduce the uncertainty most, the best first; advice.py explains. */
export function advice(
  every: Measurement,
  only: readonly string[] | null = null,
  exchange: Exchange = BUILT_IN,
): Advice[] {
  const measurement = { ...every, runs: counted(every) };
  const found = result(measurement, only, exchange);
  if (found.warnings.some((code) => DISAGREEING.includes(code))) return [];
  const left = (tried: readonly Measurement[]) => left_by(tried, only, exchange);
  const acts = acts_of(measurement, found).map(([act, tried]) => ({ act, left: left(tried), water: null, fuel: null }));
  const fillings = other_fillings(measurement, found)
    .map(({ water, fuel, filled }) => ({ act: "other_filling" as const, left: left([filled]), water, fuel }))
    .sort((a, b) => (a.left ?? Number.POSITIVE_INFINITY) - (b.left ?? Number.POSITIVE_INFINITY))
    .slice(0, 1);
  return [...acts, ...fillings]
    .flatMap(({ left: expanded_uncertainty, ...act }): Advice[] =>
      expanded_uncertainty === null ? [] : [{ ...act, expanded_uncertainty }],
    )
    .filter((one) => one.expanded_uncertainty <= WORTHWHILE * found.expanded_uncertainty)
    .sort((a, b) => a.expanded_uncertainty - b.expanded_uncertainty)
    .slice(0, MOST_ACTS);
}

/** Return by how many points the content changes if the tube is 10 degrees Celsius warmer. */
export function per_ten_degrees(measurement: Measurement): number {
  return result(measurement)
    .components.filter((part) => part.name === "temperature")
    .reduce((sum, part) => sum + 10 * part.sensitivity, 0);
}

/** Other fillings of the same tube; only a volume scale allows them. */
function other_fillings(
  measurement: Measurement,
  found: Result,
): { water: number; fuel: number; filled: Measurement }[] {
  const { tube, runs, temperature, fuel_water } = measurement;
  if (tube.scale !== "volume" || tube.liquid !== "water" || runs.some((run) => run.tube)) return [];
  const run = runs[0] as Run;
  const total = run.water + run.fuel;
  return SHARES.map((share) => [rounded(total * (1 - share)), rounded(total * share)] as const)
    .filter(([water, fuel]) => is_on_a_mark(water, tube.graduation) && fuel !== run.fuel)
    .map(([water, fuel]) => {
      const line = line_of_content(Math.max(found.content, 0), water, fuel, temperature, fuel_water);
      const filled = runs.map(({ line_half_width = null }) => ({
        water,
        fuel,
        line: Math.min(line, water + fuel),
        percent: null,
        top: null,
        line_half_width,
      }));
      return { water, fuel, filled: { ...measurement, runs: filled } };
    });
}

function rounded(volume: number): number {
  return Math.round(volume * 1e6) / 1e6;
}

function is_on_a_mark(volume: number, graduation: number): boolean {
  return Math.abs(volume / graduation - Math.round(volume / graduation)) < 1e-6;
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
  if (is_guessed(measurement)) {
    const measured = { water_temperature_measured: true, fuel_temperature_measured: true };
    acts.push(["measure_temperature", [{ ...measurement, temperature_measured: true, ...measured }]]);
  }
  if (runs.length < MOST_RUNS) {
    const content = (index: number) => (found.runs[index] as RunResult).content;
    const order = runs.map((_, index) => index).sort((a, b) => content(a) - content(b));
    const like = runs[order[Math.floor((runs.length - 1) / 2)] as number] as Run;
    acts.push(["one_more_run", [{ ...measurement, runs: [...runs, like] }]]);
  }
  return acts;
}

/** Whether a temperature is an estimate: the tube's, or one of the liquids' where these are known separately. */
function is_guessed(measurement: Measurement): boolean {
  const { temperature_measured, water_temperature_measured, fuel_temperature_measured } = measurement;
  const filled = water_temperature_measured && fuel_temperature_measured;
  return !temperature_measured || (is_apart(measurement) && !filled);
}

function finer_half_width(measurement: Measurement, run: Run): number {
  const half_step = step_in_millilitres(measurement.tube.scale, measurement.tube.graduation, run.fuel) / 2;
  return (run.line_half_width || half_step) / FINER;
}

function left_by(tried: readonly Measurement[], only: readonly string[] | null, exchange: Exchange): number | null {
  const left = tried.flatMap((measurement) => {
    try {
      return [result(measurement, only, exchange).expanded_uncertainty];
    } catch (fault) {
      if (fault instanceof Unusable) return [];
      throw fault;
    }
  });
  return left.length > 0 ? Math.max(...left) : null;
}
