// What cannot be: each limit of the inputs as a problem, all of them. Twin of chemistry/limits.py.
import { general, type Problem } from "../errors";
import { COLDEST, WARMEST } from "./density";
import type { Measurement, Run } from "./measurement";

export const MOST_RUNS = 9;

/** Return everything that makes a measurement impossible to evaluate; an empty list when it can be. */
export function problems(measurement: Measurement): Problem[] {
  return [
    ...conditions(measurement),
    ...measurement.runs.flatMap((run, index) => run_problems(measurement, run, `runs[${index}]`)),
  ];
}

function conditions(measurement: Measurement): Problem[] {
  const { temperature, fuel_water, tube, runs } = measurement;
  const found: Problem[] = [];
  if (!(COLDEST <= temperature && temperature <= WARMEST))
    found.push(problem("temperature_range", "temperature", general(temperature), `${COLDEST}..${WARMEST}`));
  if (!(0 <= fuel_water && fuel_water <= 10))
    found.push(problem("fuel_water_range", "fuel_water", general(fuel_water), "0..10"));
  if (!(tube.graduation > 0))
    found.push(problem("graduation_range", "tube.graduation", general(tube.graduation), "> 0"));
  if (!(1 <= runs.length && runs.length <= MOST_RUNS))
    found.push(problem("runs_count", "runs", String(runs.length), `1..${MOST_RUNS}`));
  if (tube.liquid === "brine" && (tube.scale === "corrected" || tube.scale === "unknown"))
    found.push(problem("brine_scale", "tube.scale", tube.scale, "volume, linear"));
  return found;
}

function run_problems(measurement: Measurement, run: Run, at: string): Problem[] {
  const found = (["water", "fuel"] as const)
    .filter((name) => !(run[name] > 0))
    .map((name) => problem("fill_missing", `${at}.${name}`, general(run[name]), "> 0"));
  if (found.length > 0) return found;
  const [wanted, other] =
    measurement.tube.scale === "volume" ? (["line", "percent"] as const) : (["percent", "line"] as const);
  if (run[wanted] === null || run[other] !== null) return [problem("line_kind", `${at}.${wanted}`, "", wanted)];
  if (run.line !== null && run.line < run.water)
    found.push(problem("line_below_water", `${at}.line`, general(run.line), `>= ${general(run.water)}`));
  if (run.line !== null && run.line > run.water + run.fuel)
    found.push(problem("line_above_fill", `${at}.line`, general(run.line), `<= ${general(run.water + run.fuel)}`));
  if (run.percent !== null && !(0 <= run.percent && run.percent <= 100))
    found.push(problem("percent_range", `${at}.percent`, general(run.percent), "0..100"));
  if (run.top !== null) found.push(...top_problems(run, run.top, at));
  return found;
}

function top_problems(run: Run, top: number, at: string): Problem[] {
  const floor = run.line ?? run.water;
  const ceiling = 1.05 * (run.water + run.fuel);
  if (floor <= top && top <= ceiling) return [];
  return [problem("top_range", `${at}.top`, general(top), `${general(floor)}..${general(ceiling)}`)];
}

function problem(code: string, field: string, value: string, limit: string): Problem {
  return { code, field, value, limit };
}
