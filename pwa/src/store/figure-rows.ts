/** The row of each source in the list: read in one go, and marked when its figures are no longer true. */

import type { FiguresRow, SourceRow } from "../rows/source";
import type { SourceFigures } from "../rows/source-figures";
import { standsFor } from "./merges";
import { run } from "./open";
import type { Place, Writing } from "./schema";
import { marked } from "./stale";

/** Everything a transaction needs to open when it computes figures. */
export const FIGURES_PLACES: Place[] = ["own_tests", "pulled_tests", "sources", "merged", "figures", "settings"];

/** The whole list. */
export function listFigures(): Promise<FiguresRow[]> {
  return run((base) => base.getAll("figures"));
}

export function readFigures(source: string): Promise<FiguresRow | undefined> {
  return run((base) => base.get("figures", source));
}

/** The row of a source that was just added: it has no figures yet. */
export async function addFigures(writing: Writing, place: SourceRow, now: Date): Promise<void> {
  await writing.objectStore("figures").put(rowOf(place, null, 0, now));
}

/** Marks that row for computing. Cheap, for transactions that touch many sources. */
export async function markStale(writing: Writing, source: string): Promise<void> {
  const place = await placeOf(writing, source);
  if (place === undefined) return;
  const figures = writing.objectStore("figures");
  const old = await figures.get(place.id);
  await figures.put({ ...(old ?? rowOf(place, null, 0, new Date(0))), ...shownOf(place), ...marked(old) });
}

/** The source whose row tells of this one. What is gone, or merged, has no row of its own. */
export async function placeOf(writing: Writing, source: string): Promise<SourceRow | undefined> {
  const shown = await standsFor(writing.objectStore("merged"), source);
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
