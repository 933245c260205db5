/** Marks for figures that must be recomputed. */

import type { FiguresRow } from "../rows/source";

/** The fields that mark a row stale; the counter shows a computation in progress that the row was marked again. */
export function marked(row: FiguresRow | undefined): Pick<FiguresRow, "stale" | "mark"> & { stale: 1 } {
  return { stale: 1, mark: markOf(row) + 1 };
}

export function markOf(row: FiguresRow | undefined): number {
  return row?.mark ?? 0;
}
