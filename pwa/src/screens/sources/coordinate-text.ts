/** A position as people type or paste it: two decimal numbers, with N, S, E, W if they like. */

import type { Point } from "../../position";

const DEGREES = /([NSEW])?\s*([+-−]?\d{1,3}(?:[.]\d+)?)\s*°?\s*([NSEW])?/giu;

/** The point, or null when the text holds no two usable numbers. Decimal commas work when the two are set apart by ; or space. */
export function pointOf(text: string): Point | null {
  const found = [...plain(text).matchAll(DEGREES)];
  if (found.length !== 2) return null;
  const [latitude, longitude] = found.map(degrees);
  if (latitude === undefined || longitude === undefined) return null;
  if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180) return null;
  return { latitude, longitude };
}

/** Decimal commas become points where a comma stands between digits and something else sets the two numbers apart. */
function plain(text: string): string {
  const upright = text.trim().replace(/[−–]/g, "-");
  return /[;\s].*\d/.test(upright) && /\d,\d/.test(upright) && !/\d\.\d/.test(upright)
    ? upright.replace(/(\d),(\d)/g, "$1.$2")
    : upright;
}

function degrees(match: RegExpMatchArray): number {
  const side = (match[1] ?? match[3] ?? "").toUpperCase();
  const value = Number(match[2]);
  return side === "S" || side === "W" ? -Math.abs(value) : value;
}
