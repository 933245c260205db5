// What is impossible: each violated limit of the inputs as a problem, all of them. Counterpart of chemistry/limits.py.
import { general, type Problem } from "../errors";
import { BRINE_SCALES } from "../records";
import { COLDEST, WARMEST } from "./density";
import { counted, type Measurement, type Run, type Tube } from "./measurement";

export const MOST_RUNS = 9;
/** Volumes of a hand-held tube, mL, and graduations printed on one, mL or %. */
export const LEAST_FILL = 0.5;
export const MOST_FILL = 2000;
export const FINEST_STEP = 0.01;
export const COARSEST_STEP = 50;
/** A mark that is off by more than this share of the largest one was weighed or typed wrongly. */
export const MARK_ERROR = 0.1;
export const LARGEST_OFFSET = 15;
/** The least share of fuel in the filling for which the exchange between the layers is known. */
export const LEAST_SHARE = 0.1;
export const MOST_SHARE = 0.505;
/** The range of the brine standard, %. */
export const STRONGEST_BRINE = 30;

/** Return everything that makes a measurement impossible to evaluate; empty if it can be evaluated. */
export function problems(measurement: Measurement): Problem[] {
  return [
    ...conditions(measurement),
    ...measurement.runs.flatMap((run, index) =>
      run.set_aside ? [] : run_problems(measurement, run, `runs[${index}]`),
    ),
  ];
}

function conditions(measurement: Measurement): Problem[] {
  const { temperature, water_temperature, fuel_temperature, fuel_water, tube } = measurement;
  const runs = counted(measurement);
  const found: Problem[] = [];
  for (const [field, degrees] of Object.entries({ temperature, water_temperature, fuel_temperature }))
    if (degrees != null && !(COLDEST <= degrees && degrees <= WARMEST))
      found.push(problem("temperature_range", field, general(degrees), `${COLDEST}..${WARMEST}`));
  if (!(0 <= fuel_water && fuel_water <= 10))
    found.push(problem("fuel_water_range", "fuel_water", general(fuel_water), "0..10"));
  if (!(1 <= runs.length && runs.length <= MOST_RUNS))
    found.push(problem("runs_count", "runs", String(runs.length), `1..${MOST_RUNS}`));
  for (const one of [tube, ...other_tubes(tube, runs)]) {
    found.push(...tube_problems(one));
    if (one.liquid === "brine" && !(BRINE_SCALES as readonly string[]).includes(one.scale))
      found.push(problem("brine_scale", "tube.scale", one.scale, BRINE_SCALES.join(", ")));
    if (one.liquid !== tube.liquid) found.push(problem("liquids_differ", "runs", "", ""));
  }
  return found;
}

/** The tubes of runs other than the test's own tube, each once. */
function other_tubes(tube: Tube, runs: readonly Run[]): Tube[] {
  const others = new Map(runs.flatMap((run) => (run.tube ? [[JSON.stringify(run.tube), run.tube]] : [])));
  others.delete(JSON.stringify(tube));
  return [...others.values()];
}

/** Return everything that is impossible about a tube; `problems` of a measurement includes it. */
export function tube_problems(tube: Tube): Problem[] {
  const found: Problem[] = [];
  const { graduation, tolerance } = tube;
  if (!(FINEST_STEP <= graduation && graduation <= COARSEST_STEP)) {
    const limit = `${FINEST_STEP}..${COARSEST_STEP}`;
    found.push(problem("graduation_range", "tube.graduation", general(graduation), limit));
  }
  if (tolerance !== null && !(0 <= tolerance && tolerance <= COARSEST_STEP))
    found.push(problem("tolerance_range", "tube.tolerance", general(tolerance), `0..${COARSEST_STEP}`));
  const calibration = tube.calibration ?? [];
  const nominals = calibration.map((mark) => mark.nominal);
  const most = MARK_ERROR * Math.max(...nominals);
  const misweighed = calibration.flatMap((mark, index) =>
    Math.abs(mark.true - mark.nominal) <= most
      ? []
      : [
          problem(
            "calibration_range",
            `tube.calibration[${index}].true`,
            general(mark.true),
            `${general(mark.nominal)} +- ${general(most)}`,
          ),
        ],
  );
  found.push(...misweighed);
  if (new Set(nominals).size < nominals.length) found.push(problem("calibration_twice", "tube.calibration", "", ""));
  const offset = tube.offset ?? 0;
  if (!(Math.abs(offset) <= LARGEST_OFFSET))
    found.push(problem("offset_range", "tube.offset", general(offset), `-${LARGEST_OFFSET}..${LARGEST_OFFSET}`));
  return found;
}

function run_problems(measurement: Measurement, run: Run, at: string): Problem[] {
  const found = (["water", "fuel"] as const)
    .filter((name) => !(LEAST_FILL <= run[name] && run[name] <= MOST_FILL))
    .map((name) => problem("fill_range", `${at}.${name}`, general(run[name]), `${LEAST_FILL}..${MOST_FILL}`));
  if (found.length > 0) return found;
  const tube = run.tube ?? measurement.tube;
  const total = run.water + run.fuel;
  const share = run.fuel / total;
  if (tube.liquid !== "brine" && !(LEAST_SHARE <= share && share <= MOST_SHARE)) {
    const limit = `${general(total / 10)}..${general(total / 2)}`;
    found.push(problem("fill_share", `${at}.fuel`, general(run.fuel), limit));
  }
  const [wanted, other] = tube.scale === "volume" ? (["line", "percent"] as const) : (["percent", "line"] as const);
  if (run[wanted] === null || run[other] !== null)
    return [...found, problem("line_kind", `${at}.${wanted}`, "", wanted)];
  if (run.line !== null && run.line < run.water)
    found.push(problem("line_below_water", `${at}.line`, general(run.line), `>= ${general(run.water)}`));
  if (run.line !== null && run.line > run.water + run.fuel)
    found.push(problem("line_above_fill", `${at}.line`, general(run.line), `<= ${general(run.water + run.fuel)}`));
  if (run.percent !== null && !(0 <= run.percent && run.percent <= 100))
    found.push(problem("percent_range", `${at}.percent`, general(run.percent), "0..100"));
  const half_width = run.line_half_width ?? null;
  if (half_width !== null && !(0 < half_width && half_width <= run.fuel / 4))
    found.push(
      problem(
        "line_half_width_range",
        `${at}.line_half_width`,
        general(half_width),
        `> 0, <= ${general(run.fuel / 4)}`,
      ),
    );
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
