// The line from a picture: reads the colours along the tube's axis and suggests a position.
import { check_marks, type Marks, type Place } from "./axis";
import { BELOW, find_line, PER_COLUMN } from "./edge";
import { SAMPLES, STRIPS } from "./network";
import { at, clamped } from "./series";

// Sampling across the tube, in shares of the way from the water mark to the fuel mark: lines 0.5 % apart; three make a
// strip. The strips reach beyond the widest usual tube, so that what is beside it is seen too.
const APART = 0.005;
const PER_STRIP = 3;

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
  const edge = find_line(strips_of(pixels, width, height, marks));
  if (edge === null) return null;
  const x = marks.fuel.x - marks.water.x;
  const y = marks.fuel.y - marks.water.y;
  const place = { x: marks.water.x + edge.share * x, y: marks.water.y + edge.share * y };
  return { place, half_width: edge.half_width * Math.hypot(x, y) };
}

/**
 * Return red, green and blue (0 to 255) by channel, strip, and sample along the way from the water mark to the fuel mark:
 * medians of three lines parallel to the axis, so that a scratch does not count. See `suggest_line`.
 */
export function strips_of(pixels: ArrayLike<number>, width: number, height: number, marks: Marks): Float32Array {
  check_marks(marks);
  const picture = { pixels, width, height };
  const x = marks.fuel.x - marks.water.x;
  const y = marks.fuel.y - marks.water.y;
  const strips = new Float32Array(3 * SAMPLES * STRIPS);
  for (let i = 0; i < SAMPLES; i++) {
    const share = (i - BELOW) / PER_COLUMN;
    for (let strip = 0; strip < STRIPS; strip++) {
      const [left, middle, right] = [-1, 0, 1].map((line) => {
        const aside = APART * (PER_STRIP * (strip - (STRIPS >> 1)) + line);
        // A pixel's colour is that of its centre; beyond the edge of the picture the last pixel repeats.
        const u = clamped(marks.water.x + share * x - aside * y - 0.5, 0, width - 1);
        const v = clamped(marks.water.y + share * y + aside * x - 0.5, 0, height - 1);
        return light_at(picture, u, v);
      }) as [number[], number[], number[]];
      for (let c = 0; c < 3; c++)
        strips[(c * STRIPS + strip) * SAMPLES + i] = middle_of(at(left, c), at(middle, c), at(right, c));
    }
  }
  return strips;
}

/** The median of three, without a list to sort for each of 50,000 places. */
function middle_of(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
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
