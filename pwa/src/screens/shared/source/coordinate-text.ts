/** Parses a typed or pasted position: two decimal numbers, optionally with N, S, E, W or other languages' letters. */

import type { Point } from "../../../geo/position";
import { labels } from "../../../i18n";

/** `45.3 N`, or `45.3` alone. */
const SIDE_BEHIND = /(?<value>[+-]?\d{1,3}(?:\.\d+)?)\s*°?\s*(?<side>[NSEWOVÖL])?/gi;
/** `N 45.3`. */
const SIDE_BEFORE = /(?<side>[NSEWOVÖL])\s*(?<value>\d{1,3}(?:\.\d+)?)/gi;

/** The point, or null without two valid numbers. Decimal commas work if ; or a space separates the numbers. */
export function pointOf(text: string): Point | null {
  const upright = plain(text);
  const found = [...upright.matchAll(/^[NSEWOVÖL]/i.test(upright) ? SIDE_BEFORE : SIDE_BEHIND)];
  if (found.length !== 2) return null;
  const [latitude, longitude] = found.map(degrees);
  if (latitude === undefined || longitude === undefined) return null;
  if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180) return null;
  // In the sea, and what a phone without a fix reports.
  if (latitude === 0 && longitude === 0) return null;
  return { latitude, longitude };
}

/** Turns decimal commas into points, if a comma is between digits and something else separates the two numbers. */
function plain(text: string): string {
  const upright = text.trim().replace(/[−–]/g, "-");
  return /[;\s].*\d/.test(upright) && /\d,\d/.test(upright) && !/\d\.\d/.test(upright)
    ? upright.replace(/(\d),(\d)/g, "$1.$2")
    : upright;
}

function degrees(match: RegExpMatchArray): number {
  const side = match.groups?.side?.toUpperCase();
  const value = Number(match.groups?.value);
  // O is west in French and Portuguese, and east in Swedish; L is leste, V is väst.
  const isNegative = side === "O" ? labels.format.winds.E !== "O" : side === "S" || side === "W" || side === "V";
  return isNegative ? -Math.abs(value) : value;
}
