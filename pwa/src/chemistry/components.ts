// What makes a run uncertain: standard uncertainty, shape and sensitivity of each component.
// Counterpart of chemistry/components.py, which gives the reasons.
import { GAUSSIAN, NORMAL, RECTANGULAR, TRIANGULAR } from "./coverage";
import { density } from "./density";
import { type Sensitivities, sensitivities, type Temperatures } from "./extraction";
import type { Measurement, Run, Tube } from "./measurement";
import { type Scale, step_in_millilitres } from "./scale";

export const FUEL_WATER_HALF_WIDTH = 0.5;
export const TEMPERATURE_GUESSED = 2;
export const FILLED_GUESSED = 4;
export const TEMPERATURE_MEASURED = 0.5;
export const WEIGHING_HALF_WIDTH = 0.1;

/** An error can be new in every run, shared by all runs in one tube, or shared by all runs. */
export type Scope = "run" | "tube" | "all";

/** One source of uncertainty; uncertainty in the input's unit, sensitivity in % of content per unit. */
export interface Component {
  readonly name: string;
  readonly uncertainty: number;
  readonly sensitivity: number;
  readonly kurtosis: number;
  readonly scope: Scope;
}

/** Standard uncertainty of the content from this component alone, %. */
export function contribution(component: Component): number {
  return Math.abs(component.sensitivity) * component.uncertainty;
}

/** The tube used for a run. */
export function tube_of(measurement: Measurement, run: Run): Tube {
  return run.tube ?? measurement.tube;
}

/** Whether the temperature of a liquid is known; until somebody says, it is taken to be the tube's at reading. */
export function is_apart({ water_temperature, fuel_temperature }: Measurement): boolean {
  return (water_temperature ?? fuel_temperature ?? null) !== null;
}

/** The temperatures: an unknown one of the water is taken from the fuel, and vice versa. */
export function temperatures_of({ temperature, water_temperature, fuel_temperature }: Measurement): Temperatures {
  const water = water_temperature ?? fuel_temperature ?? temperature;
  return { water, fuel: fuel_temperature ?? water, read: temperature };
}

/** Return the components of one run read on `scale`, in a fixed order; exchange: its standard uncertainty, points. */
export function components(
  measurement: Measurement,
  run: Run,
  scale: Scale,
  slopes: Sensitivities,
  exchange: number,
): Component[] {
  const tube = tube_of(measurement, run);
  const half_step = step_in_millilitres(scale, tube.graduation, run.fuel) / 2;
  const line_half_width = run.line_half_width ?? half_step;
  const calibrated = Boolean(tube.calibration?.length);
  const tolerance = calibrated ? 0 : (tube.tolerance ?? 0);
  const by_water_mark = slopes.water - slopes.fuel;
  const [marks, marks_kurtosis] = three_marks([slopes.line, by_water_mark, slopes.fuel]);
  const apart = is_apart(measurement);
  const degrees = (measured: boolean | undefined, guessed: number) => (measured ? TEMPERATURE_MEASURED : guessed);
  const water = apart ? degrees(measurement.water_temperature_measured, FILLED_GUESSED) : 0;
  const fuel = apart ? degrees(measurement.fuel_temperature_measured, FILLED_GUESSED) : 0;
  const read = degrees(measurement.temperature_measured, TEMPERATURE_GUESSED);
  const by_reading = slopes.temperature + (apart ? 0 : slopes.water_temperature + slopes.fuel_temperature);
  return [
    part("water_fill", "run", half_step / Math.sqrt(3), by_water_mark, RECTANGULAR),
    part("fuel_fill", "run", half_step / Math.sqrt(3), slopes.fuel, RECTANGULAR),
    part("line", "run", line_half_width / Math.sqrt(6), slopes.line, TRIANGULAR),
    part("marks", "tube", tolerance / Math.sqrt(3), marks, marks_kurtosis),
    part(
      "calibration",
      "tube",
      calibrated ? WEIGHING_HALF_WIDTH / Math.sqrt(3) : 0,
      slopes.line + slopes.water,
      RECTANGULAR,
    ),
    part("fuel_water", "all", FUEL_WATER_HALF_WIDTH / Math.sqrt(3), slopes.fuel_water, RECTANGULAR),
    part("temperature", "all", read, by_reading, GAUSSIAN),
    part("water_temperature", "all", water, per_degree_of_water(measurement, run, slopes, water), GAUSSIAN),
    part("fuel_temperature", "all", fuel, slopes.fuel_temperature, GAUSSIAN),
    part("exchange", "all", exchange, 1, GAUSSIAN),
    part("tube_offset", "tube", (tube.offset_uncertainty ?? 0) / NORMAL, 1, GAUSSIAN),
  ];
}

/** Return the standard uncertainty, %, of the difference between the contents from the line and from the fuel's top. */
export function top_difference_uncertainty(
  measurement: Measurement,
  run: Run,
  scale: Scale,
  content: number,
  slopes: Sensitivities,
): number {
  const half_step = step_in_millilitres(scale, tube_of(measurement, run).graduation, run.fuel) / 2;
  const above = 1 - (content + measurement.fuel_water) / 100;
  const by_fuel = slopes.fuel - (100 * above) / run.fuel;
  const parts: [number, number][] = [
    [half_step / Math.sqrt(3), slopes.water - by_fuel],
    [half_step / Math.sqrt(3), by_fuel],
    [(run.line_half_width ?? half_step) / Math.sqrt(6), slopes.line - 100 / run.fuel],
    [half_step / Math.sqrt(6), 100 / run.fuel],
    [FUEL_WATER_HALF_WIDTH / Math.sqrt(3), slopes.fuel_water + 1],
  ];
  return Math.sqrt(parts.reduce((sum, [uncertainty, sensitivity]) => sum + (uncertainty * sensitivity) ** 2, 0));
}

/** Return how a content responds to its inputs; read: as read; damping: how the content responds to that. */
export function slopes_of(measurement: Measurement, run: Run, read: number, damping: number): Sensitivities {
  const { water, fuel } = run;
  if (tube_of(measurement, run).liquid === "brine") {
    const per_line = 100 / fuel;
    const nothing = { fuel_water: 0, temperature: 0, water_temperature: 0, fuel_temperature: 0 };
    return { line: per_line, water: -per_line, fuel: -(read - 1) / fuel, ...nothing };
  }
  const found = sensitivities(read, water, fuel, temperatures_of(measurement), measurement.fuel_water);
  return {
    line: damping * found.line,
    water: damping * found.water,
    fuel: damping * found.fuel,
    fuel_water: damping * found.fuel_water,
    temperature: damping * found.temperature,
    water_temperature: damping * found.water_temperature,
    fuel_temperature: damping * found.fuel_temperature,
  };
}

/** How the content responds to the filled water's temperature, uncertain by some degrees: it is flat at 4. */
function per_degree_of_water(measurement: Measurement, run: Run, slopes: Sensitivities, degrees: number): number {
  if (degrees === 0 || tube_of(measurement, run).liquid === "brine") return 0;
  const at = temperatures_of(measurement).water;
  const far = Math.sqrt(3) * degrees;
  const changes = [far, -far].map((off) => slopes.water * run.water * (density(0, at + off) / density(0, at) - 1));
  const effect = Math.sqrt(changes.reduce((sum, change) => sum + change ** 2, 0) / 6) / degrees;
  return slopes.water_temperature < 0 ? -effect : effect;
}

function part(name: string, scope: Scope, uncertainty: number, sensitivity: number, kurtosis: number): Component {
  return { name, scope, uncertainty, sensitivity, kurtosis };
}

/** The sensitivity to three independent marks of the same tolerance, and the excess kurtosis of their sum. */
function three_marks(slopes: readonly number[]): [sensitivity: number, kurtosis: number] {
  const squares = slopes.map((slope) => slope ** 2);
  const variance = squares.reduce((sum, square) => sum + square, 0);
  return [Math.sqrt(variance), (RECTANGULAR * squares.reduce((sum, square) => sum + square ** 2, 0)) / variance ** 2];
}
