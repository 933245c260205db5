/** From a source's tests to the points of its chart. */

import type { ChartPoint } from "../../parts/chart";
import type { SourceTest } from "../../store/sources";

/** Oldest first; tests from a tank hold more than one fill and stay out. */
export function seriesOf(tests: readonly SourceTest[]): ChartPoint[] {
  return tests
    .filter((test) => test.sampled !== "tank")
    .map((test) => ({ at: Date.parse(test.sampled_at), value: test.content, spread: test.expanded_uncertainty }))
    .sort((a, b) => a.at - b.at);
}

/** The lowest and the highest content. */
export function rangeOf(points: readonly ChartPoint[]): [number, number] {
  const values = points.map((point) => point.value);
  return [Math.min(...values), Math.max(...values)];
}
