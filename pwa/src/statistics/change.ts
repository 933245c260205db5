// When a source changed: a cumulative sum of its deviations, started again after each change.
// Twin of statistics/change.py, which names the publication.
import { mad_spread, median } from "./robust";

export const REFERENCE = 0.5;
export const DECISION = 5;
export const LARGEST = 2.5;
export const MEDIAN_VARIANCE = Math.PI / 2;
export const LEAST_BEFORE = 5;

/** From `index` on the values lie at another level. */
export interface Change {
  readonly index: number;
  readonly direction: "up" | "down";
}

/** Return the changes of level, oldest first; least_spread: what measurement alone scatters, %. */
export function changes_of(values: readonly number[], least_spread: number): Change[] {
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
