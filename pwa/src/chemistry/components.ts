// What makes a run uncertain: standard uncertainty, shape and sensitivity of each component.
// Twin of chemistry/components.py, which gives the reasons.
import { GAUSSIAN, NORMAL, RECTANGULAR, TRIANGULAR } from "./coverage";
import { type Sensitivities, sensitivities } from "./extraction";
import type { Measurement, Run } from "./measurement";
import { type Scale, step_in_millilitres } from "./scale";

export const FUEL_WATER_HALF_WIDTH = 0.5;
export const EXTRACTION_HALF_WIDTH = 0.5;
export const TEMPERATURE_GUESSED = 2;
export const TEMPERATURE_MEASURED = 0.5;

/** One source of uncertainty; uncertainty in the input's unit, sensitivity in % of content per unit. */
export interface Component {
  readonly name: string;
  readonly uncertainty: number;
  readonly sensitivity: number;
  readonly kurtosis: number;
  readonly shared: boolean;
}

/** Standard uncertainty of the content from this component alone, %. */
export function contribution(component: Component): number {
  return Math.abs(component.sensitivity) * component.uncertainty;
}

/** Return the components of one run read on `scale`, which gave `content` %, in a fixed order. */
export function components(measurement: Measurement, run: Run, scale: Scale, content: number): Component[] {
  const tube = measurement.tube;
  const slopes = slopes_of(measurement, run, content);
  const half_step = step_in_millilitres(scale, tube.graduation, run.fuel) / 2;
  const line_half_width = run.line_half_width ?? half_step;
  const tolerance = tube.calibration?.length ? 0 : (tube.tolerance ?? 0);
  const [marks, marks_kurtosis] = three_marks(slopes);
  const temperature = measurement.temperature_measured ? TEMPERATURE_MEASURED : TEMPERATURE_GUESSED;
  return [
    part("water_fill", half_step / Math.sqrt(3), slopes.water, RECTANGULAR, false),
    part("fuel_fill", half_step / Math.sqrt(3), slopes.fuel, RECTANGULAR, false),
    part("line", line_half_width / Math.sqrt(6), slopes.line, TRIANGULAR, false),
    part("marks", tolerance / Math.sqrt(3), marks, marks_kurtosis, true),
    part("fuel_water", FUEL_WATER_HALF_WIDTH / Math.sqrt(3), slopes.fuel_water, RECTANGULAR, true),
    part("temperature", temperature, slopes.temperature, GAUSSIAN, true),
    part("extraction", EXTRACTION_HALF_WIDTH / Math.sqrt(3), 1, RECTANGULAR, true),
    part("tube_offset", (tube.offset_uncertainty ?? 0) / NORMAL, 1, GAUSSIAN, true),
  ];
}

/** Return the standard uncertainty, %, of the difference between the contents by the line and by the fuel's top. */
export function top_difference_uncertainty(measurement: Measurement, run: Run, scale: Scale, content: number): number {
  const slopes = slopes_of(measurement, run, content);
  const half_step = step_in_millilitres(scale, measurement.tube.graduation, run.fuel) / 2;
  const above = 1 - (content + measurement.fuel_water) / 100;
  const parts: [number, number][] = [
    [half_step / Math.sqrt(3), slopes.water],
    [half_step / Math.sqrt(3), slopes.fuel - (100 * above) / run.fuel],
    [(run.line_half_width ?? half_step) / Math.sqrt(6), slopes.line - 100 / run.fuel],
    [half_step / Math.sqrt(6), 100 / run.fuel],
    [FUEL_WATER_HALF_WIDTH / Math.sqrt(3), slopes.fuel_water + 1],
    [EXTRACTION_HALF_WIDTH / Math.sqrt(3), 1],
  ];
  return Math.sqrt(parts.reduce((sum, [uncertainty, sensitivity]) => sum + (uncertainty * sensitivity) ** 2, 0));
}

function part(name: string, uncertainty: number, sensitivity: number, kurtosis: number, shared: boolean): Component {
  return { name, uncertainty, sensitivity, kurtosis, shared };
}

/** The sensitivity to three independent marks of the same tolerance, and the excess kurtosis of their sum. */
function three_marks(slopes: Sensitivities): [sensitivity: number, kurtosis: number] {
  const squares = [slopes.line ** 2, slopes.water ** 2, slopes.fuel ** 2];
  const variance = squares.reduce((sum, square) => sum + square, 0);
  return [Math.sqrt(variance), (RECTANGULAR * squares.reduce((sum, square) => sum + square ** 2, 0)) / variance ** 2];
}

function slopes_of(measurement: Measurement, run: Run, content: number): Sensitivities {
  if (measurement.tube.liquid === "brine") {
    const per_line = 100 / run.fuel;
    return { line: per_line, water: -per_line, fuel: -(content - 1) / run.fuel, fuel_water: 0, temperature: 0 };
  }
  return sensitivities(content, run.water, run.fuel, measurement.temperature, measurement.fuel_water);
}
