// The position of the parting line from marks on a picture; the tube's axis is a projective line. Counterpart of
// chemistry/axis.py, which explains the mapping. Positions are picture pixels, volumes mL.
import { general, type Problem, Unusable } from "../errors";

export const NEAREST = 8;
export const FARTHEST_OFF = 0.1;
export const STEEPEST = 10;

/** A point in the picture, in pixels. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** The marks a person set: bottom reference mark, water mark, fuel mark and parting line. */
export interface Marks {
  readonly bottom: Place;
  readonly water: Place;
  readonly fuel: Place;
  readonly line: Place;
}

/** mL the line rises when a mark moves one pixel along the axis, toward the fuel mark. */
export interface MarkSensitivities {
  readonly bottom: number;
  readonly water: number;
  readonly fuel: number;
  readonly line: number;
}

/** Return the volume at the parting line, mL; throws Unusable when the marks do not define one. */
export function line_of_marks(marks: Marks, bottom_volume: number, water_volume: number, fuel_volume: number): number {
  const found = [...known(marks, bottom_volume, water_volume, fuel_volume), ...line_problems(marks)];
  if (found.length > 0) throw new Unusable(found);
  const water = along(marks, marks.water);
  const fuel = along(marks, marks.fuel);
  return carried(along(marks, marks.line), water, fuel, bottom_volume, water_volume, fuel_volume);
}

/** Throw Unusable when the three known marks are not distinct, on one line and in order. */
export function check_marks(marks: Marks): void {
  const found = placed(marks);
  if (found.length > 0) throw new Unusable(found);
}

/** Return the point on the axis of a volume in mL between the known marks; `marks.line` is ignored. */
export function place_of_volume(
  marks: Marks,
  volume: number,
  bottom_volume: number,
  water_volume: number,
  fuel_volume: number,
): Place {
  const found = known(marks, bottom_volume, water_volume, fuel_volume);
  if (found.length > 0) throw new Unusable(found);
  const water = along(marks, marks.water);
  const fuel = along(marks, marks.fuel);
  const at = carried(volume - bottom_volume, water_volume - bottom_volume, fuel_volume - bottom_volume, 0, water, fuel);
  const share = at / fuel;
  return {
    x: marks.bottom.x + share * (marks.fuel.x - marks.bottom.x),
    y: marks.bottom.y + share * (marks.fuel.y - marks.bottom.y),
  };
}

/** Return how a misplaced mark changes the line: the partial derivatives of `line_of_marks`, mL per pixel. */
export function mark_sensitivities(
  marks: Marks,
  bottom_volume: number,
  water_volume: number,
  fuel_volume: number,
): MarkSensitivities {
  line_of_marks(marks, bottom_volume, water_volume, fuel_volume);
  const water = along(marks, marks.water);
  const fuel = along(marks, marks.fuel);
  const line = along(marks, marks.line);
  const low = water_volume - bottom_volume;
  const high = fuel_volume - water_volume;
  const above = line * (fuel - water) * low;
  const below = (fuel - line) * water * high;
  const scale = (fuel_volume - bottom_volume) / (above + below) ** 2;
  const slope = (of_above: number, of_below: number) => scale * (below * of_above - above * of_below);
  return {
    bottom: slope(-(fuel - water) * low, -(fuel - line) * high),
    water: slope(-line * low, (fuel - line) * high),
    fuel: slope(line * low, water * high),
    line: slope((fuel - water) * low, -water * high),
  };
}

/** Return the half-width of the line's interval, mL; line_pixels, mark_pixels: half-widths in the picture. */
export function line_half_width(
  marks: Marks,
  bottom_volume: number,
  water_volume: number,
  fuel_volume: number,
  line_pixels: number,
  mark_pixels: number,
): number {
  const effect = mark_sensitivities(marks, bottom_volume, water_volume, fuel_volume);
  const known_effects = effect.bottom ** 2 + effect.water ** 2 + effect.fuel ** 2;
  return Math.sqrt((effect.line * line_pixels) ** 2 + known_effects * mark_pixels ** 2);
}

export function carried(at: number, middle: number, far: number, low: number, mid: number, high: number): number {
  const above = at * (far - middle) * (mid - low);
  const below = (far - at) * middle * (high - mid);
  return (low * below + high * above) / (above + below);
}

function along(marks: Marks, place: Place): number {
  const x = marks.fuel.x - marks.bottom.x;
  const y = marks.fuel.y - marks.bottom.y;
  return ((place.x - marks.bottom.x) * x + (place.y - marks.bottom.y) * y) / Math.hypot(x, y);
}

function off_axis(marks: Marks, place: Place): number {
  const x = marks.fuel.x - marks.bottom.x;
  const y = marks.fuel.y - marks.bottom.y;
  return Math.abs((place.x - marks.bottom.x) * y - (place.y - marks.bottom.y) * x) / (x * x + y * y);
}

function known(marks: Marks, bottom_volume: number, water_volume: number, fuel_volume: number): Problem[] {
  if (!(0 <= bottom_volume && bottom_volume < water_volume && water_volume < fuel_volume)) {
    const given = `${general(bottom_volume)}, ${general(water_volume)}, ${general(fuel_volume)}`;
    return [{ code: "mark_volumes", field: "marks", value: given, limit: "rising" }];
  }
  const found = placed(marks);
  if (found.length > 0) return found;
  const length = along(marks, marks.fuel);
  const water = along(marks, marks.water);
  const low = water_volume - bottom_volume;
  const high = fuel_volume - water_volume;
  const ratio = ((water * high) / ((length - water) * low)) ** 2;
  if (!(1 / STEEPEST <= ratio && ratio <= STEEPEST))
    return [problem("marks_perspective", "marks.water", ratio, `${general(1 / STEEPEST)}..${general(STEEPEST)}`)];
  return [];
}

function placed(marks: Marks): Problem[] {
  const length = Math.hypot(marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y);
  if (!(length >= 2 * NEAREST)) return [problem("marks_close", "marks.fuel", length, `>= ${general(2 * NEAREST)}`)];
  const water = along(marks, marks.water);
  if (!(0 < water && water < length)) return [problem("marks_order", "marks.water", water, `0..${general(length)}`)];
  if (!(NEAREST <= water && water <= length - NEAREST))
    return [problem("marks_close", "marks.water", Math.min(water, length - water), `>= ${general(NEAREST)}`)];
  const off = off_axis(marks, marks.water);
  if (!(off <= FARTHEST_OFF)) return [problem("mark_off_axis", "marks.water", off, `<= ${general(FARTHEST_OFF)}`)];
  return [];
}

function line_problems(marks: Marks): Problem[] {
  const length = along(marks, marks.fuel);
  const line = along(marks, marks.line);
  if (!(0 <= line && line <= length)) return [problem("line_off_marks", "marks.line", line, `0..${general(length)}`)];
  const off = off_axis(marks, marks.line);
  if (!(off <= FARTHEST_OFF)) return [problem("mark_off_axis", "marks.line", off, `<= ${general(FARTHEST_OFF)}`)];
  return [];
}

function problem(code: string, field: string, value: number, limit: string): Problem {
  return { code, field, value: general(value), limit };
}
