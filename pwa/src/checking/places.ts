/** Finds duplicate sources by the same rule as checking/places.py: a new source may be one that already exists. */

import { distance_km, type Point } from "../geo/position";

export const SAME_KM = 0.15;
export const NEAR_KM = 1;
/** How similar two names must be, of 100, in any word order. */
export const SIMILAR = 85;

/** A source as a person searching for it sees it. */
export interface Place extends Point {
  name: string;
  pump: string;
}

/** Within 150 m, or within 1 km with similar names; two pumps of one station are two sources. */
export function may_be_one(one: Place, other: Place): boolean {
  const distance = distance_km(one, other);
  if (distance > NEAR_KM || (one.pump && other.pump && !similar(one.pump, other.pump))) return false;
  return distance <= SAME_KM || similar(one.name, other.name);
}

function similar(one: string, other: string): boolean {
  return likeness(one, other) >= SIMILAR;
}

/**
 * How similar two names are, 0 to 100, in any word order: the best of comparing the words they share with all words of
 * either, and the remaining words of each with the other (rapidfuzz's token set ratio).
 */
export function likeness(one: string, other: string): number {
  const [a, b] = [wordsOf(one), wordsOf(other)];
  if (a.size === 0 || b.size === 0) return 0;
  const common = [...a].filter((word) => b.has(word)).sort();
  const [onlyA, onlyB] = [without(a, b), without(b, a)];
  if (common.length > 0 && (onlyA.length === 0 || onlyB.length === 0)) return 100;
  const shared = long(common.join(" "));
  const gap = Number(shared > 0);
  const [restA, restB] = [onlyA.join(" "), onlyB.join(" ")];
  const [wholeA, wholeB] = [shared + gap + long(restA), shared + gap + long(restB)];
  const apart = ratio(edits(restA, restB), wholeA + wholeB);
  if (shared === 0) return apart;
  const toA = ratio(gap + long(restA), shared + wholeA);
  const toB = ratio(gap + long(restB), shared + wholeB);
  return Math.max(apart, toA, toB);
}

/** Lower case, letters and digits only. */
function wordsOf(text: string): Set<string> {
  const plain = text.replace(/[^\p{L}\p{N}]/gu, " ").toLowerCase();
  return new Set(plain.split(/\s+/).filter(Boolean));
}

function without(words: Set<string>, others: Set<string>): string[] {
  return [...words].filter((word) => !others.has(word)).sort();
}

function ratio(edits: number, all: number): number {
  return all === 0 ? 100 : 100 - (100 * edits) / all;
}

function long(text: string): number {
  return [...text].length;
}

/** The number of characters to delete or insert to turn one into the other. */
function edits(one: string, other: string): number {
  const [a, b] = [[...one], [...other]];
  let above = Array.from({ length: b.length + 1 }, () => 0);
  for (const letter of a) {
    const line = [0];
    for (const [at, its] of b.entries()) {
      const kept = letter === its ? (above[at] as number) + 1 : Math.max(above[at + 1] as number, line[at] as number);
      line.push(kept);
    }
    above = line;
  }
  return a.length + b.length - 2 * (above.at(-1) as number);
}
