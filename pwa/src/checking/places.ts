/** Same place twice, as checking/places.py judges it: a source that may be one that is known already. */

import { distance_km, type Point } from "../geo/position";

export const SAME_KM = 0.15;
export const NEAR_KM = 1;
/** Of 100: how much of the words of two names has to be alike, in any order. */
export const SIMILAR = 85;

/** A source as somebody who looks for it sees it. */
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
 * How much two names have in common, 0 to 100, whatever the order of their words: the best of comparing the words
 * that both have with all words of either, and what is left of each with the other (rapidfuzz's token set ratio).
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

/** Lower case, without anything but letters and digits. */
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

/** How many characters have to be taken out or put in to make one of the other. */
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
