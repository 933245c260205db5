// When a source changed: a cumulative sum (CUSUM) of its deviations, restarted after each change.
// Counterpart of statistics/changepoint.py, which names the publication.
import { mad_spread, median } from "./robust";

export const REFERENCE = 0.5;
export const DECISION = 5;
export const LARGEST = 2.5;
export const MEDIAN_VARIANCE = Math.PI / 2;
export const LEAST_BEFORE = 5;
export const CLEAR = 3;

/** The level changes at `index`, the first value at the new level. */
export interface Change {
  readonly index: number;
  readonly direction: "up" | "down";
}

/** Return the changes of level, oldest first, %. least_spread: of measurement alone. least_step: worth reporting. */
export function changes_of(values: readonly number[], least_spread: number, least_step = 0): Change[] {
  const found = alarms(values, least_spread);
  while (found.length > 0) {
    const starts = [0, ...found.map((change) => change.index)];
    const levels = starts.map((start, k) => values.slice(start, starts[k + 1]));
    const shares = clearness(levels, least_spread, least_step);
    const least = Math.min(...shares);
    if (least >= 1) break;
    found.splice(shares.indexOf(least), 1);
  }
  return found;
}

function alarms(values: readonly number[], least_spread: number): Change[] {
  const spread = values.length > 0 ? Math.max(mad_spread(values), least_spread) : least_spread;
  const found: Change[] = [];
  let start = 0;
  for (;;) {
    const change = first_change(values, start, spread);
    if (change === null) return found;
    found.push(change);
    start = change.index;
  }
}

function first_change(values: readonly number[], start: number, spread: number): Change | null {
  let up = 0;
  let down = 0;
  let up_from = start;
  let down_from = start;
  for (let index = start + LEAST_BEFORE; index < values.length; index++) {
    const before = values.slice(start, index);
    const width = spread * Math.sqrt(1 + MEDIAN_VARIANCE / before.length);
    const score = Math.min(Math.max(((values[index] as number) - median(before)) / width, -LARGEST), LARGEST);
    if (up === 0) up_from = index;
    if (down === 0) down_from = index;
    up = Math.max(0, up + score - REFERENCE);
    down = Math.max(0, down - score - REFERENCE);
    if (up > DECISION) return { index: up_from, direction: "up" };
    if (down > DECISION) return { index: down_from, direction: "down" };
  }
  return null;
}

function clearness(levels: readonly (readonly number[])[], least_spread: number, least_step: number): number[] {
  const middles = levels.map(median);
  const left = levels.flatMap((level, k) => level.map((value) => value - (middles[k] as number)));
  const variance = MEDIAN_VARIANCE * Math.max(mad_spread(left), least_spread) ** 2;
  return levels.slice(1).map((after, k) => {
    const before = levels[k] as readonly number[];
    const error = Math.sqrt(variance / before.length + variance / after.length);
    return Math.abs((middles[k + 1] as number) - (middles[k] as number)) / Math.max(CLEAR * error, least_step);
  });
}
