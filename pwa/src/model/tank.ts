/** Tank, cans and pumps as the blend functions take them: volumes in L, contents and expanded uncertainties in %. */

import { fill, next_fill_part, type Part, type Plan, reach } from "../chemistry/blend";
import { frequency_of_content } from "../chemistry/sensor";
import type { CanRow } from "../rows/can";
import type { FiguresRow } from "../rows/source";
import type { Tank } from "../rows/vehicle";

export interface Stock {
  key: string;
  name: string;
  kind: "can" | "pump" | "other";
  part: Part;
}

/** L: no road vehicle that burns petrol has a larger tank (common practice, no source). */
export const MOST_TANK = 400;

/** True for a size that no vehicle's tank has; null: not known. */
export function isNoTank(capacity: number | null): boolean {
  return capacity !== null && (capacity === 0 || capacity > MOST_TANK);
}

/** What is in the tank; null while volume or content is unknown. */
export function tankPart(tank: Tank | undefined): Part | null {
  if (!tank || tank.volume === null) return null;
  if (tank.volume === 0) return { volume: 0, content: 0, expanded_uncertainty: 0, volume_uncertainty: 0 };
  return partOf(tank.volume, tank.content, tank.expanded_uncertainty);
}

/** A volume of known content, the volume taken as exact; null while something is missing. */
export function partOf(volume: number | null, content: number | null, uncertainty: number | null): Part | null {
  if (volume === null || content === null || uncertainty === null) return null;
  return { volume, content, expanded_uncertainty: uncertainty, volume_uncertainty: 0 };
}

/** L that still fit; null while the tank's size is unknown. */
export function roomOf(tank: Tank | undefined): number | null {
  if (!tank || tank.capacity === null || tank.volume === null) return null;
  return Math.max(0, tank.capacity - tank.volume);
}

/** A can with a known content. */
export function canStock(can: CanRow): Stock | null {
  const part = partOf(can.volume, can.content, can.expanded_uncertainty);
  if (can.emptied_at !== null || part === null || part.volume <= 0) return null;
  return { key: can.id, name: can.name, kind: "can", part };
}

/** A pump: an unlimited amount of its next fill. */
export function pumpStock(row: FiguresRow): Stock | null {
  if (row.figures === null) return null;
  return {
    key: row.source,
    name: [row.name, row.pump].filter(Boolean).join(", "),
    kind: "pump",
    part: next_fill_part(row.figures.typical, row.figures.next_fill, Number.POSITIVE_INFINITY),
  };
}

/** A fuel from elsewhere with a known content: an unlimited amount. */
export function otherStock(name: string, content: number | null, uncertainty: number | null): Stock | null {
  const part = partOf(Number.POSITIVE_INFINITY, content, uncertainty);
  return part && { key: "other", name, kind: "other", part };
}

/** least: add as little as the target needs. two: add what fits, split between two stocks. */
export type Way = "least" | "two";

/** What to add; null while the stocks do not suit the method. */
export function planOf(way: Way, tank: Part, room: number, target: number, stocks: readonly Stock[]): Plan | null {
  const parts = stocks.map((stock) => stock.part);
  if (way === "least") return parts.length === 0 ? null : reach(tank, room, target, parts);
  const [first, second] = parts;
  return first && second && parts.length === 2 ? fill(tank, room, target, first, second) : null;
}

/** A can after some was taken out, L; an empty one is listed separately. */
export function canAfter(can: CanRow, taken: number, now: Date): CanRow {
  const left = Number(Math.max(0, can.volume - taken).toFixed(3));
  return { ...can, volume: left, emptied_at: left === 0 ? now.toISOString() : can.emptied_at };
}

/** What was in the tank before everything added, L; below 0 if more was added than is in it. */
export function volumeBefore(whole: number, added: readonly (number | null)[]): number {
  return added.reduce<number>((left, litres) => left - (litres ?? 0), whole);
}

/** A sensor's reading in Hz, from the value on its own or the car's display. */
export function frequencyOf(shown: number, as: "percent" | "frequency"): number {
  return as === "percent" ? frequency_of_content(shown) : shown;
}
