/** The order of the Sources list; the same three orders as GET /sources. */

import { distanceTo, type Point } from "../geo/position";
import type { FiguresRow } from "../rows/source";
import type { SourceFigures } from "../rows/source-figures";
import { LIGHT } from "../statistics/visits";

export type Order = "steadiest" | "floor" | "nearest";

type Tested = FiguresRow & { figures: SourceFigures };

export interface Ranking {
  ranked: Tested[];
  /** Not tested yet: places to sample, nearest first. */
  unsampled: FiguresRow[];
}

/** Sorts the rows, as seen from a point. */
export function rank(rows: readonly FiguresRow[], order: Order, from: Point | null): Ranking {
  const nearest = nearness(from);
  const tested = rows.filter((row): row is Tested => row.figures !== null);
  return {
    ranked: sorted(tested, order === "nearest" ? nearest : ({ figures }) => standingOf(figures) + KEYS[order](figures)),
    unsampled: sorted(
      rows.filter((row) => row.figures === null),
      nearest,
    ),
  };
}

/**
 * Sorted by a number, the smallest first, then by evidence and by name. The number is computed once for each row: in
 * every comparison, two thousand rows would keep a slow phone busy for a tenth of a second.
 */
export function sorted<Row extends FiguresRow>(rows: readonly Row[], keyOf: (row: Row) => number): Row[] {
  return rows
    .map((row) => ({ row, key: keyOf(row) }))
    .sort((a, b) => a.key - b.key || evidenceOf(b.row) - evidenceOf(a.row) || byName(a.row, b.row))
    .map(({ row }) => row);
}

/** Distance from a point, km, to sort by; unknown ones last. */
export function nearness(from: Point | null): (row: FiguresRow) => number {
  return (row) => distanceTo(from, row) ?? UNKNOWN;
}

/** Larger than any distance, km. */
const UNKNOWN = 1e6;

const KEYS: Record<Exclude<Order, "nearest">, (figures: SourceFigures) => number> = {
  steadiest: ({ tau_bound }) => tau_bound,
  floor: ({ floor }) => -floor,
};

/** Sources known only from strangers come after those with a test from somebody known for some weeks. */
function standingOf(figures: SourceFigures): number {
  // More than any of the keys, which are in %.
  return isUnknown(figures) ? 1000 : 0;
}

/** Rows of an earlier version do not say how much each contributor counts. */
export function isUnknown({ heaviest = 1 }: { heaviest?: number }): boolean {
  return heaviest < LIGHT;
}

function evidenceOf({ figures }: FiguresRow): number {
  return figures?.evidence ?? -1;
}

function byName(a: FiguresRow, b: FiguresRow): number {
  return a.name < b.name ? -1 : a.name > b.name ? 1 : 0;
}
