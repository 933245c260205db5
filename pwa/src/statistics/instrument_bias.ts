// How far a contributor's tube reads too high or too low, from sources that several tubes have tested.
// Counterpart of statistics/instrument_bias.py, which explains the model.
import { median } from "./robust";

export const ROUNDS = 20;
export const USUAL = 1;
export const POSSIBLE = 2.5;

/**
 * One visit without its season: % (V/V); uncertainty: standard, of the part that is independent between visits.
 * counts: whether it is used for the level of its source.
 */
export interface Reading {
  readonly source: string;
  readonly tube: string;
  readonly deviation: number;
  readonly uncertainty: number;
  readonly counts: boolean;
}

/** How far a tube reads too high (positive) or too low, %, its standard uncertainty, and the number of sources. */
export interface TubeOffset {
  readonly offset: number;
  readonly uncertainty: number;
  readonly sources: number;
}

type Tubes = ReadonlyMap<string, readonly Reading[]>;
type Shared = readonly Tubes[];

/** Return the offsets of the tubes that share a source with another tube. */
export function offsets_of(readings: readonly Reading[]): Record<string, TubeOffset> {
  const by_source = new Map<string, Map<string, Reading[]>>();
  for (const reading of readings) {
    const tubes = by_source.get(reading.source) ?? new Map<string, Reading[]>();
    by_source.set(reading.source, tubes.set(reading.tube, [...(tubes.get(reading.tube) ?? []), reading]));
  }
  const shared: Shared = [...by_source.values()].filter((tubes) => tubes.size > 1);
  const names = [...new Set(shared.flatMap((tubes) => [...tubes.keys()]))].sort();
  let offsets = new Map(names.map((tube) => [tube, 0]));
  for (let round = 0; round < ROUNDS; round++) {
    const levels = shared.map((tubes) => level_of(tubes, offsets));
    offsets = new Map(names.map((tube) => [tube, offset_of(tube, shared, levels).offset]));
  }
  const levels = shared.map((tubes) => level_of(tubes, offsets));
  return Object.fromEntries(
    names.map((tube) => [
      tube,
      { ...offset_of(tube, shared, levels), sources: shared.filter((tubes) => tubes.has(tube)).length },
    ]),
  );
}

function level_of(tubes: Tubes, offsets: ReadonlyMap<string, number>): number {
  const counted = [...tubes].filter(([, group]) => group[0]?.counts);
  const of = counted.length > 0 ? counted : [...tubes];
  return median(of.map(([tube, group]) => mean_of(group) - (offsets.get(tube) as number)));
}

function offset_of(tube: string, shared: Shared, levels: readonly number[]): { offset: number; uncertainty: number } {
  let weights = 1 / POSSIBLE ** 2;
  let total = 0;
  shared.forEach((tubes, k) => {
    const group = tubes.get(tube);
    if (!group) return;
    const variance =
      group.reduce((sum, reading) => sum + reading.uncertainty ** 2, 0) / group.length ** 2 +
      USUAL ** 2 / (tubes.size - 1);
    weights += 1 / variance;
    total += (mean_of(group) - (levels[k] as number)) / variance;
  });
  return { offset: total / weights, uncertainty: Math.sqrt(1 / weights) };
}

function mean_of(group: readonly Reading[]): number {
  return group.reduce((sum, reading) => sum + reading.deviation, 0) / group.length;
}
