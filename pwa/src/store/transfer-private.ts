/** What leaves a phone only in a log file: plans, stars, cans, vehicles, settings, run sheet, pictures on request. */

import type { CanRow } from "../rows/can";
import type { Draft } from "../rows/draft";
import type { FillRow } from "../rows/fill";
import type { PhotoRow } from "../rows/photo";
import type { PlanRow } from "../rows/plan";
import type { StarRow } from "../rows/star";
import { NO_VEHICLES, type Vehicles, withImported } from "../rows/vehicle";
import { SHEET } from "./drafts";
import type { StoredSettings } from "./facts";
import { readLanguage, saveLanguage } from "./language";
import type { Place, Writing } from "./schema";
import { DEFAULTS } from "./settings";
import { importStars } from "./stars";

export interface Private {
  plans: PlanRow[];
  stars: StarRow[];
  cans: CanRow[];
  fills: FillRow[];
  /** null: none was ever entered. */
  vehicles: Vehicles | null;
  settings: StoredSettings | null;
  /** The unfinished run sheet. */
  sheet: Draft | null;
  /** The chosen language; null follows the phone. */
  language: string | null;
  photos: PhotoRow[];
}

export interface PrivateCounts {
  plans: number;
  stars: number;
  cans: number;
  fills: number;
  vehicles: number;
  settings: boolean;
  sheet: boolean;
  /** Applies from the next start: the screen does not change. */
  language: boolean;
  photos: number;
}

export const PRIVATE_PLACES = ["plans", "cans", "fills", "photos", "settings", "drafts"] as const satisfies Place[];

/** Adds everything not here yet; a later plan or tank replaces an earlier one, settings only if there are none. */
export async function importPrivate(writing: Writing, imported: Private): Promise<PrivateCounts> {
  const counts: PrivateCounts = {
    plans: 0,
    stars: await importStars(writing, imported.stars),
    cans: 0,
    fills: 0,
    vehicles: 0,
    settings: false,
    sheet: false,
    language: false,
    photos: 0,
  };
  for (const row of imported.plans) counts.plans += await importPlan(writing, row);
  for (const row of imported.cans) counts.cans += await addIfNew(writing, "cans", row.id, row);
  for (const row of imported.fills) counts.fills += await addIfNew(writing, "fills", row.id, row);
  for (const row of imported.photos) counts.photos += await addIfNew(writing, "photos", row.digest, unsentPhoto(row));
  const facts = writing.objectStore("settings");
  if (imported.vehicles !== null) {
    const here = ((await facts.get("vehicles")) as Vehicles | undefined) ?? NO_VEHICLES;
    const { vehicles, taken } = withImported(here, imported.vehicles);
    await facts.put(vehicles, "vehicles");
    counts.vehicles = taken;
  }
  if (imported.settings !== null && (await facts.get("settings")) === undefined) {
    // Whoever chooses the server gives it this phone's secret: the person decides that, not a file.
    await facts.put({ ...imported.settings, server: DEFAULTS.server }, "settings");
    counts.settings = true;
  }
  return counts;
}

/**
 * Adds the sheet, unless there is one here or its test is already saved; call it after adding the file's tests. Another
 * contributor's sheet becomes a test of this phone, so it gets a new id, and whether to share it is decided here. id:
 * the new one; null: the sheet is the person's own.
 */
export async function importSheet(writing: Writing, sheet: Draft | null, id: string | null): Promise<boolean> {
  if (sheet === null) return false;
  const drafts = writing.objectStore("drafts");
  const here = await drafts.get(SHEET);
  const isBegun = here !== undefined && (here.source !== null || here.runs.length > 0);
  if (isBegun || (await writing.objectStore("own_tests").getKey(sheet.id)) !== undefined) return false;
  await drafts.put(id === null ? sheet : { ...sheet, id, shared: false }, SHEET);
  return true;
}

/** Adds the language if none was chosen here; it is not in the storage that has transactions. */
export function importLanguage(language: string | null): boolean {
  if (language === null || readLanguage() !== null) return false;
  saveLanguage(language);
  return true;
}

/** The sheet without the pictures that are left out; the readings from them stay. */
export function withoutPhotos(sheet: Draft): Draft {
  return { ...sheet, photos: [], runs: sheet.runs.map((one) => ({ ...one, photo: null, marks: null })) };
}

/** A picture is sent after its test, and only if the person decides so. */
function unsentPhoto(row: PhotoRow): PhotoRow {
  return row.state === "waiting" ? { ...row, state: "private" } : row;
}

async function importPlan(writing: Writing, row: PlanRow): Promise<0 | 1> {
  const store = writing.objectStore("plans");
  const old = await store.get(row.source);
  if (old !== undefined && old.made_at >= row.made_at) return 0;
  await store.put(row);
  return 1;
}

async function addIfNew(
  writing: Writing,
  place: "cans" | "fills" | "photos",
  key: string,
  row: CanRow | FillRow | PhotoRow,
): Promise<0 | 1> {
  const store = writing.objectStore(place);
  if ((await store.getKey(key)) !== undefined) return 0;
  await store.put(row as CanRow & FillRow & PhotoRow);
  return 1;
}
