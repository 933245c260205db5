// The line from a picture: reads the colours along the tube's axis and suggests a position.
import { check_marks, type Marks, type Place } from "./axis";
import { COLOURS, type Strip } from "./border";
import { BELOW, find_line, PER_COLUMN, type Profile, SAMPLES } from "./edge";
import { clamped, median } from "./series";

// Sampling across the tube, in shares of the way from the water mark to the fuel mark: lines 0.5 % apart; three make a
// strip. Thirteen strips reach a little beyond the narrowest usual bore; the background is read well beside the widest.
const APART = 0.005;
const INSIDE = Array.from({ length: 13 }, (_, i) => 3 * (i - 6)).map((line) => [line - 1, line, line + 1]);
const BESIDE = [
  [-57, -55, -53],
  [53, 55, 57],
];

/** The parting line the program suggests: its position, and the half-width of the border in pixels along the axis. */
export interface Suggestion {
  readonly place: Place;
  readonly half_width: number;
}

export interface Pixels {
  readonly pixels: ArrayLike<number>;
  readonly width: number;
  readonly height: number;
}

/**
 * Return the parting line in a picture, or null when there is no clear one; `marks.line` is ignored. pixels: red,
 * green, blue, opacity from 0 to 255, row by row. Throws Unusable when the known marks are too close.
 */
export function suggest_line(
  pixels: ArrayLike<number>,
  width: number,
  height: number,
  marks: Marks,
): Suggestion | null {
  const edge = find_line(axis_profile(pixels, width, height, marks));
  if (edge === null) return null;
  const x = marks.fuel.x - marks.water.x;
  const y = marks.fuel.y - marks.water.y;
  const place = { x: marks.water.x + edge.share * x, y: marks.water.y + edge.share * y };
  return { place, half_width: edge.half_width * Math.hypot(x, y) };
}

/** Return the colours along the way from the water mark to the fuel mark; see `suggest_line`. */
export function axis_profile(pixels: ArrayLike<number>, width: number, height: number, marks: Marks): Profile {
  check_marks(marks);
  const picture = { pixels, width, height };
  const strips = (groups: readonly (readonly number[])[]) => groups.map((lines) => strip_of(picture, marks, lines));
  return { inside: strips(INSIDE), beside: strips(BESIDE) };
}

/** The median colours of lines parallel to the axis, counted in steps of APART. */
function strip_of(picture: Pixels, marks: Marks, lines: readonly number[]): Strip {
  const x = marks.fuel.x - marks.water.x;
  const y = marks.fuel.y - marks.water.y;
  const colours = COLOURS.map(() => new Float64Array(SAMPLES));
  for (let i = 0; i < SAMPLES; i++) {
    const share = (i - BELOW) / PER_COLUMN;
    const seen = lines.map((line) => {
      const aside = line * APART;
      // A pixel's colour is that of its centre; beyond the edge of the picture the last pixel repeats.
      const u = clamped(marks.water.x + share * x - aside * y - 0.5, 0, picture.width - 1);
      const v = clamped(marks.water.y + share * y + aside * x - 0.5, 0, picture.height - 1);
      return colours_of(light_at(picture, u, v));
    });
    colours.forEach((values, c) => {
      values[i] = median(Float64Array.from(seen, (colour) => colour[c] as number));
    });
  }
  return { colours, beside: median(Float64Array.from(lines)) * APART };
}

/** Red, green and blue between four pixels, interpolated. */
export function light_at({ pixels, width, height }: Pixels, u: number, v: number): number[] {
  const left = Math.min(Math.floor(u), width - 2);
  const upper = Math.min(Math.floor(v), height - 2);
  const [a, b] = [u - left, v - upper];
  const first = 4 * (upper * width + left);
  const row = 4 * width;
  const mixed = (index: number) => {
    const above = (1 - a) * (pixels[index] as number) + a * (pixels[index + 4] as number);
    const below = (1 - a) * (pixels[index + row] as number) + a * (pixels[index + row + 4] as number);
    return (1 - b) * above + b * below;
  };
  return [mixed(first), mixed(first + 1), mixed(first + 2)];
}

/** Luminance (ITU-R BT.601), blueness and redness; shade changes the first and hardly affects the other two. */
function colours_of(light: readonly number[]): number[] {
  const [red, green, blue] = light as [number, number, number];
  const luminance = 0.299 * red + 0.587 * green + 0.114 * blue;
  const relative = 128 / (luminance + 16);
  return [luminance, (blue - luminance) * relative, (red - luminance) * relative];
}
