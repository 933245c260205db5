// The print on a tube, as strips along its axis: the contrast of every sample against its surroundings.
import type { Marks, Place } from "./axis";
import { light_at, type Pixels } from "./photo";
import { at, clamped, extended, median, running_median, type Values } from "./series";

// Half the strips across, and the share of the tube's outside width that they cover.
const STRIPS = 8;
const REACH = 0.42;
// The least spread of a strip, in levels of 255.
const FAINT = 0.7;

/** The volumes at the bottom, water and fuel mark, mL. */
export type Known = readonly [bottom: number, water: number, fuel: number];

export interface Axis {
  readonly length: number;
  /** Distance of the water mark from the bottom mark, pixels. */
  readonly water: number;
  /** Samples before the bottom mark. */
  readonly before: number;
  readonly known: Known;
  readonly strips: readonly Values[];
}

/**
 * Return the strips along the marks' axis. tube_width, apart: pixels across the tube, and between two strokes. before:
 * samples by which strips start before the bottom mark.
 */
export function axis_of(
  picture: Pixels,
  marks: Marks,
  known: Known,
  tube_width: number,
  apart: number,
  before: number,
): Axis {
  const [x, y] = [marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y];
  const length = Math.hypot(x, y);
  const water = ((marks.water.x - marks.bottom.x) * x + (marks.water.y - marks.bottom.y) * y) / length;
  const strips = Array.from({ length: 2 * STRIPS + 1 }, (_, s) => {
    const aside = ((s - STRIPS) / STRIPS) * REACH * tube_width;
    const light = Float64Array.from({ length: Math.ceil(length) + 2 * before + 1 }, (_, i) =>
      grey_at(picture, marks.bottom, [x / length, y / length], i - before, aside),
    );
    return strokes(light, 2 * Math.ceil(apart) + 1);
  });
  // Print may be dark or light.
  return { length, water, before, known, strips: [...strips, ...strips.map((values) => values.map((one) => -one))] };
}

/** Luminance (ITU-R BT.601) of three pixels across the axis; along, aside: pixels along the axis and beside it. */
function grey_at(picture: Pixels, from: Place, way: readonly [number, number], along: number, aside: number): number {
  let total = 0;
  for (const more of [-1, 0, 1]) {
    const u = clamped(from.x + along * way[0] - (aside + more) * way[1] - 0.5, 0, picture.width - 1);
    const v = clamped(from.y + along * way[1] + (aside + more) * way[0] - 0.5, 0, picture.height - 1);
    const [red, green, blue] = light_at(picture, u, v) as [number, number, number];
    total += 0.299 * red + 0.587 * green + 0.114 * blue;
  }
  return total / 3;
}

/** How much darker every sample is than its surroundings; glare counts little more than a stroke. */
function strokes(light: Values, around: number): Values {
  const usual = running_median(extended(light, around >> 1), around);
  const darker = light.map((value, i) => at(usual, i) - value);
  const spread = 1.4826 * median(darker.map(Math.abs)) + FAINT;
  return darker.map((value) => Math.asinh(value / spread));
}
