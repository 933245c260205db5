/** From a source's tests and figures to what its chart draws. */

import { isOfSource } from "../../../model/later-version";
import { baselineOf } from "../../../model/level";
import type { FiguresRow } from "../../../rows/source";
import type { Season } from "../../../statistics/season";
import type { SourceTest } from "../../../store/sources";
import type { ChartBand, ChartPoint } from "../../../widgets/chart-scale";

/** Oldest first; tests from a tank are left out, because a tank holds more than one fill. */
export function seriesOf(tests: readonly SourceTest[]): ChartPoint[] {
  return tests
    .filter((test) => isOfSource(test.sampled))
    .map(({ sampled_at, content, expanded_uncertainty, wrong }) => ({
      ...{ at: Date.parse(sampled_at), value: content, spread: expanded_uncertainty },
      ...(wrong && { wrong }),
    }))
    .sort((a, b) => a.at - b.at);
}

export interface Expected {
  line: ChartPoint[];
  band: ChartBand;
}

/** The season's prediction up to the time of the figures, and the next fill from there on; null without figures. */
export function expectedOf(
  points: readonly ChartPoint[],
  row: FiguresRow | undefined,
  season: Season | null,
): Expected | null {
  const first = points[0];
  if (!row?.figures || !first) return null;
  const from = Date.parse(row.computed_at);
  const line = baselineOf(row.figures, season, from, [first.at, from]);
  const [low, high] = row.figures.next_fill;
  return { line: line.map((point) => ({ ...point, spread: null })), band: { from, low, high } };
}

/** The lowest and the highest content. */
export function rangeOf(points: readonly ChartPoint[]): [number, number] {
  const values = points.map((point) => point.value);
  return [Math.min(...values), Math.max(...values)];
}
