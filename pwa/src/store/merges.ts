/**
 * Places that were entered twice: a merged source keeps its row and tests, and another source represents it.
 *
 * Figures, pages, log, sheet and plans look up that source, so unmerging only deletes a row.
 */

import type { SourceChange } from "../records";
import type { MergedRow } from "../rows/source";
import type { Writing } from "./schema";

/** The store `merged`, in a read or a write transaction. */
interface Merged {
  get(id: string): Promise<MergedRow | undefined>;
  index(name: "by_into"): { getAllKeys(into: string): Promise<string[]> };
}

/** The source that represents this one: itself unless it was merged. One level only, as on the server. */
export async function representativeOf(merged: Merged, source: string): Promise<string> {
  return (await merged.get(source))?.into ?? source;
}

/** The source itself and those merged into it: their tests are tests of one place. */
export async function mergedInto(merged: Merged, source: string): Promise<string[]> {
  return [source, ...(await merged.index("by_into").getAllKeys(source))];
}

/** Updates the merges from a pulled source, and adds sources whose figures may change to `touched`. */
export async function applyMerge(writing: Writing, change: SourceChange, touched: Set<string>): Promise<void> {
  const merged = writing.objectStore("merged");
  const old = await merged.get(change.id);
  if (old !== undefined) touched.add(old.into);
  const into = change.state === "merged" && !change.retracted ? change.into : null;
  if (into === null) {
    if (old !== undefined) await merged.delete(change.id);
    return;
  }
  touched.add(into);
  await merged.put({ source: change.id, into });
}
