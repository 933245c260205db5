/** The row of each source in the list: all read at once, and marked stale when its figures are outdated. */

import type { FiguresRow, SourceRow } from "../rows/source";
import type { SourceFigures } from "../rows/source-figures";
import { representativeOf } from "./merges";
import { run } from "./open";
import type { Place, Writing } from "./schema";
import { marked } from "./stale";

/** The stores that a transaction needs to compute figures. */
export const FIGURES_PLACES: Place[] = ["own_tests", "pulled_tests", "sources", "merged", "figures", "settings"];

/** The whole list. */
export function listFigures(): Promise<FiguresRow[]> {
  return run((base) => base.getAll("figures"));
}

export function readFigures(source: string): Promise<FiguresRow | undefined> {
  return run((base) => base.get("figures", source));
}

/** The row of a newly added source: it has no figures yet. */
export async function addFigures(writing: Writing, place: SourceRow, now: Date): Promise<void> {
  await writing.objectStore("figures").put(rowOf(place, null, 0, now));
}

/** Marks that row stale. Cheap, for transactions that touch many sources. */
export async function markStale(writing: Writing, source: string): Promise<void> {
  const place = await placeOf(writing, source);
  if (place === undefined) return;
  const figures = writing.objectStore("figures");
  const old = await figures.get(place.id);
  await figures.put({ ...(old ?? rowOf(place, null, 0, new Date(0))), ...shownOf(place), ...marked(old) });
}

/** The source that has the row for this one. A deleted or merged source has no row of its own. */
export async function placeOf(writing: Writing, source: string): Promise<SourceRow | undefined> {
  const shown = await representativeOf(writing.objectStore("merged"), source);
  const place = await writing.objectStore("sources").get(shown);
  if (shown !== source || place === undefined) await writing.objectStore("figures").delete(source);
  return place;
}

export function rowOf(place: SourceRow, figures: SourceFigures | null, mark: number, now: Date): FiguresRow {
  return { ...shownOf(place), figures, computed_at: now.toISOString(), stale: 0, mark };
}

function shownOf(place: SourceRow) {
  const { id: source, name, pump, latitude, longitude, region, own } = place;
  return { source, name, pump, latitude, longitude, region, own };
}
