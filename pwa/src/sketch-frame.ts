/** Where things stand on a region's sketch: north up, lengths true in the middle, drawn in units of its own. */

import { bearing_deg, distance_km, type Point } from "./position";
import type { Polygon } from "./sketch";

export interface Spot {
  x: number;
  y: number;
}

export interface Frame {
  width: number;
  height: number;
  km_per_unit: number;
  middle: Point;
  at: (point: Point) => Spot;
}

const WIDTH = 320;
/** The drawing is no flatter and no taller than this, whatever the region. */
const FLATTEST = 0.6;
const TALLEST = 1.3;
/** Room around the region, as a share of its size. */
const MARGIN = 0.16;
const KM_PER_DEGREE = 111.195;
const RADIANS = Math.PI / 180;
/** Nearer to the middle than this share of the frame's width, a place is in the middle. */
const MIDDLE = 0.12;
/** Share of the width that the length beside the drawing may take. */
const RULER = 0.3;

/** A frame around an outline and the points that belong to it. */
export function frameOf(outline: readonly Polygon[], points: readonly Point[]): Frame {
  const all = [...outline.flat(2), ...points];
  const [south, north] = range(all.map((point) => point.latitude));
  const [west, east] = range(all.map((point) => point.longitude));
  const middle = { latitude: (south + north) / 2, longitude: (west + east) / 2 };
  const shrink = Math.cos(middle.latitude * RADIANS);
  // Twice the margin, and never nothing: a region may be a point on the grid.
  const wide = Math.max((east - west) * shrink, 0.01) * (1 + 2 * MARGIN);
  const high = Math.max(north - south, 0.01) * (1 + 2 * MARGIN);
  const height = WIDTH * Math.min(TALLEST, Math.max(FLATTEST, high / wide));
  const units = Math.min(WIDTH / wide, height / high);
  const at = ({ latitude, longitude }: Point) => ({
    x: WIDTH / 2 + near(longitude - middle.longitude) * shrink * units,
    y: height / 2 - (latitude - middle.latitude) * units,
  });
  return { width: WIDTH, height, km_per_unit: KM_PER_DEGREE / units, middle, at };
}

/** The drawing of polygons, for the `d` of a path. */
export function pathOf(polygons: readonly Polygon[], frame: Frame): string {
  return polygons
    .flat()
    .map((ring) => `M${ring.map((corner) => spotText(frame.at(corner))).join("L")}Z`)
    .join("");
}

/** Degrees clockwise from north in which a point lies from the middle; null when it is in the middle. */
export function side(
  point: Point,
  { middle, width, km_per_unit }: Pick<Frame, "middle" | "width" | "km_per_unit">,
): number | null {
  const far = distance_km(middle, point);
  return far < MIDDLE * width * km_per_unit ? null : bearing_deg(middle, point);
}

/** A round length of 1, 2 or 5 and zeros that fits beside the drawing. km_per_length: 1, or the km of a mile. */
export function rulerOf({ width, km_per_unit }: Frame, km_per_length: number): { length: number; units: number } {
  const most = (RULER * width * km_per_unit) / km_per_length;
  const power = 10 ** Math.floor(Math.log10(most));
  const length = ([5, 2].find((step) => step * power <= most) ?? 1) * power;
  return { length, units: (length * km_per_length) / km_per_unit };
}

function range(values: readonly number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

/** A difference of longitudes the short way round. */
function near(degrees: number): number {
  return degrees - 360 * Math.round(degrees / 360);
}

function spotText({ x, y }: Spot): string {
  return `${x.toFixed(1)} ${y.toFixed(1)}`;
}

/** A line of writing, its middle at the spot. */
export interface Written extends Spot {
  text: string;
}

/** Height of a line of writing, and a character's usual width, in the drawing's units. */
const LINE = 12;
const CHARACTER = 5.8;

/** Moved so far that all of it stands in the frame, and clear of the ruler. */
export function inside({ text, x, y }: Written, { width, height }: Pick<Frame, "width" | "height">): Written {
  const half = (CHARACTER * text.length) / 2 + 4;
  return { text, x: Math.max(half, Math.min(width - half, x)), y: Math.max(LINE, Math.min(height - 2 * LINE, y)) };
}

/** The writings that do not run over one written before. */
export function apart(writings: readonly Written[]): Written[] {
  const kept: Written[] = [];
  for (const one of writings) if (!kept.some((other) => isOver(one, other))) kept.push(one);
  return kept;
}

function isOver(a: Written, b: Written): boolean {
  const reach = (CHARACTER * (a.text.length + b.text.length)) / 2;
  return Math.abs(a.y - b.y) < LINE && Math.abs(a.x - b.x) < reach;
}
