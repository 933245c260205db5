/** Marks of figures that wait to be computed again. */

import type { FiguresRow } from "../rows/source";

/** What a row bears from now on; the number tells whoever computes meanwhile that it was marked once more. */
export function marked(row: FiguresRow | undefined): Pick<FiguresRow, "stale" | "mark"> & { stale: 1 } {
  return { stale: 1, mark: markOf(row) + 1 };
}

export function markOf(row: FiguresRow | undefined): number {
  return row?.mark ?? 0;
}
