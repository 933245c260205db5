// The result of a test: content, expanded uncertainty, the steps that made it and what dominates.
// Twin of chemistry/budget.py.
import { general, type Problem, Unusable } from "../errors";
import { true_run } from "./calibration";
import {
  type Component,
  components,
  contribution,
  type Scope,
  slopes_of,
  temperatures_of,
  top_difference_uncertainty,
  tube_of,
} from "./components";
import { coverage_factor, NORMAL, TWO_POINTS } from "./coverage";
import { BUILT_IN, corrected, type Exchange, type Exchanged, HIGHEST } from "./exchange";
import { brine_content, content_of_line, content_of_top, strength } from "./extraction";
import { freezes } from "./freezing";
import { problems, STRONGEST_BRINE } from "./limits";
import type { Measurement, Run, Tube } from "./measurement";
import { DRAWN_AT, line_of_reading, type Scale } from "./scale";

/** The version of this model, on every figure that is kept. */
export const MODEL = 2;
/** Contents as far apart as this, %, are alike to a tube's offset. */
export const ALIKE = 10;

/** Two results of one person differ by more than this many standard uncertainties once in twenty (ISO 5725-6). */
export const REPEATABILITY = 2.8;
/** The same of the highest and the lowest of 0 to 9 results (ISO 5725-6); combined.py explains. */
const CRITICAL_RANGE = [2.8, 2.8, 2.8, 3.3, 3.6, 3.9, 4.0, 4.2, 4.3, 4.4];
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

/** What a result is worked out with. only: components taken into account; exchange: what the layers exchange. */
interface With {
  readonly only: readonly string[] | null;
  readonly exchange: Exchange;
}

/** A run on one kind of scale. */
interface OnScale extends RunResult {
  readonly tube: Tube;
}

/** Return the result of a measurement; throws `Unusable` with every problem. `only`: components taken into account. */
export function result(
  measurement: Measurement,
  only: readonly string[] | null = null,
  exchange: Exchange = BUILT_IN,
): Result {
  const found = problems(measurement);
  if (found.length > 0) throw new Unusable(found);
  const by = { only, exchange };
  const kinds = measurement.runs.some((run) => tube_of(measurement, run).scale === "unknown")
    ? (["linear", "corrected"] as const)
    : (["linear"] as const);
  const [first, second] = kinds.map((kind) => measurement.runs.map((run) => run_result(measurement, run, kind, by)));
  const runs = (first as OnScale[]).map((one, index) =>
    second === undefined ? one : middle(one, second[index] as OnScale, by),
  );
  const span = second === undefined ? null : span_of([first as OnScale[], second]);
  const answer = combined(runs, warnings_of(measurement, runs, span !== null), span);
  const wrong = beyond(measurement, answer);
  if (wrong !== null) throw new Unusable([wrong]);
  return answer;
}

/** A content outside 0..100 % by more than its uncertainty, and where the method ends; budget.py says where. */
function beyond(measurement: Measurement, { content, expanded_uncertainty }: Result): Problem | null {
  const low = -expanded_uncertainty;
  const high = 100 + expanded_uncertainty;
  const value = general(Math.round(10 * content) / 10);
  if (!(low <= content && content <= high))
    return { code: "content_impossible", field: "runs", value, limit: `${low.toFixed(1)}..${high.toFixed(1)}` };
  if (tube_of(measurement, measurement.runs[0] as Run).liquid === "brine") {
    if (content <= STRONGEST_BRINE + expanded_uncertainty) return null;
    return { code: "brine_strong", field: "runs", value, limit: String(STRONGEST_BRINE) };
  }
  return content <= HIGHEST ? null : { code: "no_upper_layer", field: "runs", value, limit: String(HIGHEST) };
}

function run_result(measurement: Measurement, run: Run, if_unknown: "linear" | "corrected", by: With): OnScale {
  const tube = tube_of(measurement, run);
  const scale: Scale = tube.scale === "unknown" ? if_unknown : tube.scale;
  const reading = (run.line ?? run.percent) as number;
  const line = line_of_reading(scale, reading, run.water, run.fuel);
  const as_read = scale === "volume" ? (100 * (line - run.water)) / run.fuel : reading;
  const stages = stages_of(measurement, run, line);
  const read = (stages.at(-1) as [string, number])[1];
  const exchanged = exchanged_of(measurement, run, read, by.exchange);
  const offset = (tube.offset_uncertainty ?? 0) > 0 ? (tube.offset ?? 0) : 0;
  const content = exchanged.content + offset;
  const changed = tube.liquid === "brine" ? [] : [{ name: "exchange", change: exchanged.content - read }];
  const slopes = slopes_of(measurement, run, read, exchanged.slope);
  // A part of no size in this run may have one in another tube's.
  const parts = components(measurement, run, scale, slopes, exchanged.uncertainty);
  const kept = parts.filter(({ name }) => by.only === null || by.only.includes(name));
  const top_content = run.top === null ? null : content_of_top(line, run.top, run.fuel) + exchanged.content - read;
  const water = tube.liquid === "brine" ? 0 : measurement.fuel_water;
  const limit = NORMAL * top_difference_uncertainty(measurement, run, scale, content, slopes);
  return {
    content,
    own_uncertainty: root(kept, ["run"]),
    as_read,
    steps: [
      ...stages.map(([name, after], index) => ({ name, change: after - (stages[index - 1]?.[1] ?? as_read) })),
      ...changed,
      { name: "tube_offset", change: offset },
    ],
    components: kept,
    top_content,
    layers_agree: top_content === null ? null : Math.abs(content + water - top_content) <= limit,
    tube,
  };
}

/** The content after each correction, %, each on top of those before it. */
function stages_of(measurement: Measurement, run: Run, line: number): [name: string, content: number][] {
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

/** What is left of a content as read after what the layers exchange is taken off; steps.py gives the reasons. */
function exchanged_of(measurement: Measurement, run: Run, read: number, table: Exchange): Exchanged {
  const tube = tube_of(measurement, run);
  const found = corrected(table, read, run.fuel / (run.water + run.fuel), measurement.temperature);
  if (tube.liquid === "brine") return { content: read, uncertainty: 0, slope: 1 };
  if (!((tube.offset_uncertainty ?? 0) > 0)) return found;
  const known = tube.offset_content ?? null;
  if (known === null) return { content: read, uncertainty: found.uncertainty, slope: 1 };
  return Math.abs(found.content - known) <= ALIKE ? { ...found, uncertainty: 0 } : found;
}

/** The mean of both kinds of scale, with what lies between them as a component. */
function middle(linear: OnScale, other: OnScale, by: With): OnScale {
  const half = Math.abs(linear.content - other.content) / 2;
  // One kind or the other; a reading at either end, where both agree, has the part too, with no weight.
  const kind: Component = {
    name: "scale_kind",
    scope: "tube",
    uncertainty: linear.tube.scale === "unknown" ? 1 : 0,
    sensitivity: half,
    kurtosis: TWO_POINTS,
  };
  const kept = by.only === null || by.only.includes("scale_kind") ? [kind] : [];
  const shared = linear.components.map((part, index) => {
    const { uncertainty } = other.components[index] as Component;
    return part.name === "exchange" ? { ...part, uncertainty: (part.uncertainty + uncertainty) / 2 } : part;
  });
  return {
    ...linear,
    content: (linear.content + other.content) / 2,
    steps: linear.steps.map((step, index) => ({
      name: step.name,
      change: (step.change + (other.steps[index] as Step).change) / 2,
    })),
    components: [...shared, ...kept],
  };
}

function span_of(kinds: readonly (readonly OnScale[])[]): [number, number] {
  const ends = kinds.map((runs) => mean(chosen_of(runs).map((run) => run.content)));
  return [Math.min(...ends), Math.max(...ends)];
}

function combined(
  all: readonly OnScale[],
  warnings: readonly string[],
  span: readonly [number, number] | null,
): Result {
  const runs = all.map((run) => ({ ...run, components: run.components.filter((part) => part.uncertainty > 0) }));
  const count = runs.length;
  const budget = Math.sqrt(mean(runs.map((run) => run.own_uncertainty ** 2)));
  const agree = runs_agree(all);
  const variance = deviation(runs.map((run) => run.content)) ** 2 - between_tubes(all);
  const scatter = count >= 3 || !agree ? Math.sqrt(Math.max(variance, 0)) : 0;
  const own_of_one = Math.max(budget, scatter);
  const chosen = chosen_of(all);
  const widening = chosen.length < count ? MEDIAN_VARIANCE : 1;
  const own = own_of_one * Math.sqrt(widening / count);
  const averaged = averaged_of(all).filter((part) => part.uncertainty > 0);
  const shared = root(averaged, ["tube", "all"]);
  const excess = Math.sqrt((widening * own_of_one ** 2 - budget ** 2) / count);
  const factor = coverage_factor([
    ...averaged.map((part) => ({
      uncertainty: contribution(part),
      kurtosis: part.kurtosis,
      freedom: Number.POSITIVE_INFINITY,
    })),
    { uncertainty: excess, kurtosis: 0, freedom: count >= 3 ? count - 1 : Number.POSITIVE_INFINITY },
  ]);
  const scattered: Component = { name: "scatter", scope: "run", uncertainty: excess, sensitivity: 1, kurtosis: 0 };
  return {
    content: mean(chosen.map((run) => run.content)),
    expanded_uncertainty: factor * Math.sqrt(own ** 2 + shared ** 2),
    own_uncertainty: own,
    shared_uncertainty: shared,
    coverage_factor: factor,
    as_read: mean(chosen.map((run) => run.as_read)),
    steps: steps_of(all, chosen),
    runs: runs.map(({ tube: _, ...run }) => ({ ...run, steps: run.steps.filter((step) => applies(step.name, all)) })),
    components: excess > 0 ? [...averaged, scattered] : averaged,
    repeatability_limit: REPEATABILITY * own_of_one,
    warnings,
    span,
  };
}

/** The mean change of each correction; of the marks' and the tube's own only where they are known. */
function steps_of(all: readonly OnScale[], chosen: readonly OnScale[]): Step[] {
  const names = [...new Set(all.flatMap((run) => run.steps.map((step) => step.name)))];
  const change = (run: OnScale, name: string) => run.steps.find((step) => step.name === name)?.change ?? 0;
  return names
    .filter((name) => applies(name, all))
    .map((name) => ({ name, change: mean(chosen.map((run) => change(run, name))) }));
}

function applies(step: string, runs: readonly OnScale[]): boolean {
  if (step === "calibration") return runs.some(({ tube }) => tube.calibration?.length);
  if (step === "tube_offset") return runs.some(({ tube }) => (tube.offset_uncertainty ?? 0) > 0);
  return true;
}

/** The components of the mean, each as its scope says; components.py explains. */
function averaged_of(runs: readonly OnScale[]): Component[] {
  const tubes = tubes_of(runs);
  return (runs[0] as OnScale).components.map((part, index) => {
    const parts = runs.map((run) => run.components[index] as Component);
    const effects = parts.map(({ sensitivity, uncertainty }) => sensitivity * uncertainty);
    const { effect, independent } = mean_of(part.scope, effects, tubes);
    const kurtosis = mean(parts.map((one) => one.kurtosis)) / independent;
    const uncertainty = Math.max(...parts.map((one) => one.uncertainty));
    return { ...part, uncertainty, sensitivity: uncertainty > 0 ? effect / uncertainty : 0, kurtosis };
  });
}

function mean_of(
  scope: Scope,
  effects: readonly number[],
  tubes: readonly number[],
): { effect: number; independent: number } {
  if (scope === "all") return { effect: mean(effects), independent: 1 };
  const groups = scope === "run" ? effects.map((_, index) => index) : tubes;
  const sums = new Map<number, number>();
  for (const [index, effect] of effects.entries()) {
    const group = groups[index] as number;
    sums.set(group, (sums.get(group) ?? 0) + effect);
  }
  return {
    effect: Math.sqrt(sum([...sums.values()].map((one) => one * one))) / effects.length,
    independent: sums.size,
  };
}

/** In which of the tubes, counted from 0, each run was made. */
function tubes_of(runs: readonly OnScale[]): number[] {
  const tubes = runs.map(({ tube }) => JSON.stringify(tube));
  const different = [...new Set(tubes)];
  return tubes.map((tube) => different.indexOf(tube));
}

/** Return whether the runs lie within the critical range of their number; tubes may differ, too. */
function runs_agree(runs: readonly OnScale[]): boolean {
  const contents = runs.map((run) => run.content);
  const budget = mean(runs.map((run) => root(run.components, ["run"]) ** 2));
  const limit = (CRITICAL_RANGE[runs.length] as number) * Math.sqrt(budget + between_tubes(runs));
  return Math.max(...contents) - Math.min(...contents) <= (limit > 0 ? limit : Number.POSITIVE_INFINITY);
}

/** The mean variance from what is the same in one tube, where the runs are in several; else 0. */
function between_tubes(runs: readonly OnScale[]): number {
  if (new Set(tubes_of(runs)).size < 2) return 0;
  return mean(runs.map((run) => root(run.components, ["tube"]) ** 2));
}

function chosen_of(runs: readonly OnScale[]): readonly OnScale[] {
  if (runs.length < 3 || runs_agree(runs)) return runs;
  const ordered = [...runs].sort((a, b) => a.content - b.content);
  return ordered.slice(Math.floor((runs.length - 1) / 2), Math.floor(runs.length / 2) + 1);
}

function warnings_of(measurement: Measurement, runs: readonly OnScale[], unknown: boolean): string[] {
  const found: string[] = [];
  if (!runs_agree(runs)) found.push(runs.length < 3 ? "runs_disagree" : "median_counts");
  if (runs.some((run) => run.layers_agree === false)) found.push("layers_disagree");
  if (unknown) found.push("scale_unknown");
  const frozen = runs.some(({ content, tube }, index) => {
    const { water, fuel } = measurement.runs[index] as Run;
    const strong = strength(content, water, fuel, temperatures_of(measurement), measurement.fuel_water);
    return tube.liquid !== "brine" && freezes(strong, measurement.temperature);
  });
  if (frozen) found.push("would_freeze");
  return found;
}

function root(parts: readonly Component[], scopes: readonly Scope[]): number {
  return Math.sqrt(sum(parts.filter(({ scope }) => scopes.includes(scope)).map((part) => contribution(part) ** 2)));
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
