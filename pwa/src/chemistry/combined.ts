// The runs of a test combined: whether they agree, their mean or median, and its uncertainty. Counterpart of
// chemistry/combined.py.
import { type Component, contribution, type Scope } from "./components";
import { coverage_factor } from "./coverage";
import type { Tube } from "./measurement";

/** Two results of one person differ by more than this many standard uncertainties in 1 of 20 cases (ISO 5725-6). */
export const REPEATABILITY = 2.8;
/** The same for the highest and the lowest of 0 to 9 results (ISO 5725-6); combined.py explains. */
const CRITICAL_RANGE = [2.8, 2.8, 2.8, 3.3, 3.6, 3.9, 4.0, 4.2, 4.3, 4.4];
/** The variance of a median relative to that of a mean, for many normal values. */
export const MEDIAN_VARIANCE = Math.PI / 2;

/** One correction on the way from the line as read to the content, % (V/V). */
export interface Step {
  readonly name: string;
  readonly change: number;
}

/** One run: content and its own standard uncertainty in %, and the content from the fuel's top if that was read. */
export interface RunResult {
  readonly content: number;
  readonly own_uncertainty: number;
  readonly as_read: number;
  readonly steps: readonly Step[];
  readonly components: readonly Component[];
  readonly top_content: number | null;
  readonly layers_agree: boolean | null;
}

/** A run on one kind of scale. */
export interface OnScale extends RunResult {
  readonly tube: Tube;
}

/** The content of a sample and how it was found, % (V/V); budget.py explains each field. */
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

/** Return the result of a test's runs. */
export function combined(
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

/** The mean change of each correction; the marks' and the tube's own only where they are known. */
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

/** The components of the mean, each averaged by its scope; components.py explains. */
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

/** The index of the tube, from 0, in which each run was made. */
function tubes_of(runs: readonly OnScale[]): number[] {
  const tubes = runs.map(({ tube }) => JSON.stringify(tube));
  const different = [...new Set(tubes)];
  return tubes.map((tube) => different.indexOf(tube));
}

/** Return whether the runs are within the critical range for their number; tubes may differ, too. */
export function runs_agree(runs: readonly OnScale[]): boolean {
  const contents = runs.map((run) => run.content);
  const budget = mean(runs.map((run) => root(run.components, ["run"]) ** 2));
  const limit = (CRITICAL_RANGE[runs.length] as number) * Math.sqrt(budget + between_tubes(runs));
  return Math.max(...contents) - Math.min(...contents) <= (limit > 0 ? limit : Number.POSITIVE_INFINITY);
}

/** The mean variance of what is shared within one tube, if the runs are in several; else 0. */
function between_tubes(runs: readonly OnScale[]): number {
  if (new Set(tubes_of(runs)).size < 2) return 0;
  return mean(runs.map((run) => root(run.components, ["tube"]) ** 2));
}

/** Return the runs that count: all, or the middle ones if they disagree. */
export function chosen_of(runs: readonly OnScale[]): readonly OnScale[] {
  if (runs.length < 3 || runs_agree(runs)) return runs;
  const ordered = [...runs].sort((a, b) => a.content - b.content);
  return ordered.slice(Math.floor((runs.length - 1) / 2), Math.floor(runs.length / 2) + 1);
}

/** Return the standard uncertainty, %, of the components of some scopes. */
export function root(parts: readonly Component[], scopes: readonly Scope[]): number {
  return Math.sqrt(sum(parts.filter(({ scope }) => scopes.includes(scope)).map((part) => contribution(part) ** 2)));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/** Return the mean of some values. */
export function mean(values: readonly number[]): number {
  return sum(values) / values.length;
}

function deviation(values: readonly number[]): number {
  const centre = mean(values);
  return Math.sqrt(sum(values.map((value) => (value - centre) ** 2)) / (values.length - 1));
}
