// The result of a test: content, expanded uncertainty, the steps that made it and what dominates.
// Twin of chemistry/budget.py.
import { Unusable } from "../errors";
import { true_run } from "./calibration";
import { type Component, components, contribution, top_difference_uncertainty } from "./components";
import { coverage_factor, NORMAL, RECTANGULAR } from "./coverage";
import { brine_content, content_of_line, content_of_top } from "./extraction";
import { problems } from "./limits";
import type { Measurement, Run } from "./measurement";
import { DRAWN_AT, line_of_reading, type Scale } from "./scale";

/** Two results of one person differ by more than this many standard uncertainties once in twenty (ISO 5725-6). */
export const REPEATABILITY = 2.8;
/** The variance of a median against that of a mean, for many normal values. */
export const MEDIAN_VARIANCE = Math.PI / 2;

/** One correction on the way from the line as read to the content, % (V/V). */
export interface Step {
  readonly name: string;
  readonly change: number;
}

/** One run: content and own standard uncertainty in %, content by the fuel's top where it was read. */
export interface RunResult {
  readonly content: number;
  readonly own_uncertainty: number;
  readonly as_read: number;
  readonly steps: readonly Step[];
  readonly components: readonly Component[];
  readonly top_content: number | null;
  readonly layers_agree: boolean | null;
}

/** The content of a sample and everything that made it, % (V/V); budget.py explains each field. */
export interface Result {
  readonly content: number;
  readonly expanded_uncertainty: number;
  readonly own_uncertainty: number;
  readonly shared_uncertainty: number;
  readonly coverage_factor: number;
  readonly as_read: number;
  readonly steps: readonly Step[];
  readonly runs: readonly RunResult[];
  readonly components: readonly Component[];
  readonly repeatability_limit: number;
  readonly warnings: readonly string[];
  readonly span: readonly [number, number] | null;
}

/** Return the result of a measurement; throws `Unusable` with every problem. `only`: components taken into account. */
export function result(measurement: Measurement, only: readonly string[] | null = null): Result {
  const found = problems(measurement);
  if (found.length > 0) throw new Unusable(found);
  const answer =
    measurement.tube.scale === "unknown" ? unknown_scale(measurement, only) : known_scale(measurement, only);
  const low = -answer.expanded_uncertainty;
  const high = 100 + answer.expanded_uncertainty;
  if (!(low <= answer.content && answer.content <= high)) {
    const limit = `${low.toFixed(1)}..${high.toFixed(1)}`;
    throw new Unusable([{ code: "content_impossible", field: "runs", value: answer.content.toFixed(1), limit }]);
  }
  return answer;
}

/** Return whether the runs lie within the repeatability limit 2.8 u of each other. */
export function runs_agree(runs: readonly RunResult[]): boolean {
  const contents = runs.map((run) => run.content);
  const own = Math.sqrt(mean(runs.map((run) => run.own_uncertainty ** 2)));
  const limit = own > 0 ? REPEATABILITY * own : Number.POSITIVE_INFINITY;
  return Math.max(...contents) - Math.min(...contents) <= limit;
}

function known_scale(measurement: Measurement, only: readonly string[] | null): Result {
  const scale = measurement.tube.scale as Scale;
  const runs = measurement.runs.map((run) => run_result(measurement, run, scale, only));
  return combined(runs, warnings_of(runs), null);
}

function unknown_scale(measurement: Measurement, only: readonly string[] | null): Result {
  const linear = measurement.runs.map((run) => run_result(measurement, run, "linear", only));
  const corrected = measurement.runs.map((run) => run_result(measurement, run, "corrected", only));
  const runs = linear.map((one, index) => middle(one, corrected[index] as RunResult, only));
  const ends = [linear, corrected].map((all) => mean(chosen_of(all).map((run) => run.content)));
  const span: [number, number] = [Math.min(...ends), Math.max(...ends)];
  return combined(runs, [...warnings_of(runs), "scale_unknown"], span);
}

function run_result(measurement: Measurement, run: Run, scale: Scale, only: readonly string[] | null): RunResult {
  const reading = (run.line ?? run.percent) as number;
  const line = line_of_reading(scale, reading, run.water, run.fuel);
  const as_read = scale === "volume" ? (100 * (line - run.water)) / run.fuel : reading;
  const steps = steps_of(measurement, run, line, as_read);
  const content = as_read + sum(steps.map((step) => step.change));
  const kept = components(measurement, run, scale, content).filter(
    (part) => part.uncertainty > 0 && (only === null || only.includes(part.name)),
  );
  return {
    content,
    own_uncertainty: root(kept, false),
    as_read,
    steps,
    components: kept,
    ...second_opinion(measurement, run, scale, line, content),
  };
}

function steps_of(measurement: Measurement, run: Run, line: number, as_read: number): Step[] {
  const { tube, temperature, fuel_water } = measurement;
  const [water, fuel, true_line] = true_run(run, line, tube.calibration ?? []);
  const stages: [string, number][] =
    tube.liquid === "brine"
      ? [
          ["method", brine_content(line, run.water, run.fuel)],
          ["calibration", brine_content(true_line, water, fuel)],
        ]
      : [
          ["shrinkage", content_of_line(line, run.water, run.fuel, DRAWN_AT, 0)],
          ["calibration", content_of_line(true_line, water, fuel, DRAWN_AT, 0)],
          ["temperature", content_of_line(true_line, water, fuel, temperature, 0)],
          ["fuel_water", content_of_line(true_line, water, fuel, temperature, fuel_water)],
        ];
  stages.push(["tube_offset", (stages.at(-1) as [string, number])[1] + (tube.offset ?? 0)]);
  const before = [as_read, ...stages.map(([, content]) => content)];
  const applied: Record<string, boolean> = {
    calibration: Boolean(tube.calibration?.length),
    tube_offset: (tube.offset_uncertainty ?? 0) > 0,
  };
  return stages
    .map(([name, content], index) => ({ name, change: content - (before[index] as number) }))
    .filter((step) => applied[step.name] ?? true);
}

function second_opinion(
  measurement: Measurement,
  run: Run,
  scale: Scale,
  line: number,
  content: number,
): { top_content: number | null; layers_agree: boolean | null } {
  if (run.top === null) return { top_content: null, layers_agree: null };
  const top_content = content_of_top(line, run.top, run.fuel);
  const water = measurement.tube.liquid === "brine" ? 0 : measurement.fuel_water;
  const limit = NORMAL * top_difference_uncertainty(measurement, run, scale, content);
  return { top_content, layers_agree: Math.abs(content + water - top_content) <= limit };
}

function middle(linear: RunResult, corrected: RunResult, only: readonly string[] | null): RunResult {
  const half = Math.abs(linear.content - corrected.content) / 2;
  // From one kind to the other; a reading at either end, where both agree, has the part too, with no weight.
  const kind: Component = {
    name: "scale_kind",
    uncertainty: 1 / Math.sqrt(3),
    sensitivity: half,
    kurtosis: RECTANGULAR,
    shared: true,
  };
  const kept = only === null || only.includes("scale_kind") ? [kind] : [];
  return {
    ...linear,
    content: (linear.content + corrected.content) / 2,
    steps: linear.steps.map((step, index) => ({
      name: step.name,
      change: (step.change + (corrected.steps[index] as Step).change) / 2,
    })),
    components: [...linear.components, ...kept],
  };
}

function combined(
  runs: readonly RunResult[],
  warnings: readonly string[],
  span: readonly [number, number] | null,
): Result {
  const count = runs.length;
  const budget = Math.sqrt(mean(runs.map((run) => run.own_uncertainty ** 2)));
  const scatter = count >= 3 || !runs_agree(runs) ? deviation(runs.map((run) => run.content)) : 0;
  const own_of_one = Math.max(budget, scatter);
  const chosen = chosen_of(runs);
  const widening = chosen.length < count ? MEDIAN_VARIANCE : 1;
  const own = own_of_one * Math.sqrt(widening / count);
  const averaged = averaged_of(runs);
  const shared = root(averaged, true);
  const excess = Math.sqrt((widening * own_of_one ** 2 - budget ** 2) / count);
  const factor = coverage_factor([
    ...averaged.map((part) => ({
      uncertainty: contribution(part),
      kurtosis: part.kurtosis / (part.shared ? 1 : count),
      freedom: Number.POSITIVE_INFINITY,
    })),
    { uncertainty: excess, kurtosis: 0, freedom: count >= 3 ? count - 1 : Number.POSITIVE_INFINITY },
  ]);
  const scattered: Component = { name: "scatter", uncertainty: excess, sensitivity: 1, kurtosis: 0, shared: false };
  return {
    content: mean(chosen.map((run) => run.content)),
    expanded_uncertainty: factor * Math.sqrt(own ** 2 + shared ** 2),
    own_uncertainty: own,
    shared_uncertainty: shared,
    coverage_factor: factor,
    as_read: mean(chosen.map((run) => run.as_read)),
    steps: (chosen[0] as RunResult).steps.map((step, index) => ({
      name: step.name,
      change: mean(chosen.map((run) => (run.steps[index] as Step).change)),
    })),
    runs,
    components: excess > 0 ? [...averaged, scattered] : averaged,
    repeatability_limit: REPEATABILITY * own_of_one,
    warnings,
    span,
  };
}

function averaged_of(runs: readonly RunResult[]): Component[] {
  return (runs[0] as RunResult).components.map((part, index) => {
    const effects = runs.map((run) => {
      const { sensitivity, uncertainty } = run.components[index] as Component;
      return sensitivity * uncertainty;
    });
    const own = Math.sqrt(mean(effects.map((effect) => effect * effect)) / runs.length);
    const kurtosis = mean(runs.map((run) => (run.components[index] as Component).kurtosis));
    return { ...part, sensitivity: (part.shared ? mean(effects) : own) / part.uncertainty, kurtosis };
  });
}

function chosen_of(runs: readonly RunResult[]): readonly RunResult[] {
  if (runs.length < 3 || runs_agree(runs)) return runs;
  const ordered = [...runs].sort((a, b) => a.content - b.content);
  return ordered.slice(Math.floor((runs.length - 1) / 2), Math.floor(runs.length / 2) + 1);
}

function warnings_of(runs: readonly RunResult[]): string[] {
  const found: string[] = [];
  if (!runs_agree(runs)) found.push(runs.length < 3 ? "runs_disagree" : "median_counts");
  if (runs.some((run) => run.layers_agree === false)) found.push("layers_disagree");
  return found;
}

function root(parts: readonly Component[], shared: boolean): number {
  return Math.sqrt(sum(parts.filter((part) => part.shared === shared).map((part) => contribution(part) ** 2)));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function mean(values: readonly number[]): number {
  return sum(values) / values.length;
}

function deviation(values: readonly number[]): number {
  const centre = mean(values);
  return Math.sqrt(sum(values.map((value) => (value - centre) ** 2)) / (values.length - 1));
}
