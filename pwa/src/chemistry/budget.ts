// The result of a test: content, expanded uncertainty, the correction steps and what dominates. Counterpart of
// chemistry/budget.py.
import { general, type Problem, Unusable } from "../errors";
import { chosen_of, combined, mean, type OnScale, type Result, root, runs_agree, type Step } from "./combined";
import {
  type Component,
  components,
  slopes_of,
  temperatures_of,
  top_difference_uncertainty,
  tube_of,
} from "./components";
import { NORMAL, TWO_POINTS } from "./coverage";
import { BUILT_IN, type Exchange, HIGHEST } from "./exchange";
import { content_of_top, strength } from "./extraction";
import { freezes } from "./freezing";
import { problems, STRONGEST_BRINE } from "./limits";
import { counted, type Measurement, type Run } from "./measurement";
import { line_of_reading, type Scale } from "./scale";
import { exchanged_of, stages_of } from "./steps";

export type { Result, RunResult, Step } from "./combined";
export { MODEL } from "./measurement";

/** Options of a result. only: components to include; exchange: what the layers exchange. */
interface With {
  readonly only: readonly string[] | null;
  readonly exchange: Exchange;
}

/** Return the result of the runs that count; throws `Unusable` with every problem. `only`: components to include. */
export function result(
  every: Measurement,
  only: readonly string[] | null = null,
  exchange: Exchange = BUILT_IN,
): Result {
  const found = problems(every);
  if (found.length > 0) throw new Unusable(found);
  const measurement = { ...every, runs: counted(every) };
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

/** A content outside 0..100 % by more than its uncertainty, or beyond the method's limits (see budget.py). */
function beyond(measurement: Measurement, { content, expanded_uncertainty }: Result): Problem | null {
  const low = -expanded_uncertainty;
  const high = 100 + expanded_uncertainty;
  const value = general(Math.round(1000 * content) / 1000);
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
  // A component that is zero in this run may not be in another tube's.
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

/** The mean of both kinds of scale, with the difference between them as a component. */
function middle(linear: OnScale, other: OnScale, by: With): OnScale {
  const half = Math.abs(linear.content - other.content) / 2;
  // One kind or the other. A reading at either end, where both agree, has this component too, with no weight.
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
