/**
 * What never leaves a phone but in a log file: plans, stars, cans, vehicles, settings, the run sheet, and pictures where
 * they are asked for.
 */

import type { CanRow } from "../rows/can";
import type { Draft } from "../rows/draft";
import type { FillRow } from "../rows/fill";
import type { PhotoRow } from "../rows/photo";
import type { PlanRow } from "../rows/plan";
import type { StarRow } from "../rows/star";
import { NO_VEHICLES, type Vehicles, withCarried } from "../rows/vehicle";
import { SHEET } from "./drafts";
import type { StoredSettings } from "./facts";
import { readLanguage, saveLanguage } from "./language";
import type { Place, Writing } from "./schema";
import { DEFAULTS } from "./settings";
import { takeStars } from "./stars";

export interface Private {
  plans: PlanRow[];
  stars: StarRow[];
  cans: CanRow[];
  fills: FillRow[];
  /** null: none was ever entered. */
  vehicles: Vehicles | null;
  settings: StoredSettings | null;
  /** The run sheet as far as it is filled. */
  sheet: Draft | null;
  /** What was chosen; null leaves it to the phone. */
  language: string | null;
  photos: PhotoRow[];
}

export interface PrivateTaken {
  plans: number;
  stars: number;
  cans: number;
  fills: number;
  vehicles: number;
  settings: boolean;
  sheet: boolean;
  /** Taken for the next start: what is on the screen stays. */
  language: boolean;
  photos: number;
}

export const PRIVATE_PLACES = ["plans", "cans", "fills", "photos", "settings", "drafts"] as const satisfies Place[];

/** Everything that is not here yet; a later plan or tank takes the place of an earlier one, settings only where none are. */
export async function takePrivate(writing: Writing, carried: Private): Promise<PrivateTaken> {
  const taken: PrivateTaken = {
    plans: 0,
    stars: await takeStars(writing, carried.stars),
    cans: 0,
    fills: 0,
    vehicles: 0,
    settings: false,
    sheet: false,
    language: false,
    photos: 0,
  };
  for (const row of carried.plans) taken.plans += await takePlan(writing, row);
  for (const row of carried.cans) taken.cans += await takeNew(writing, "cans", row.id, row);
  for (const row of carried.fills) taken.fills += await takeNew(writing, "fills", row.id, row);
  for (const row of carried.photos) taken.photos += await takeNew(writing, "photos", row.digest, unsentPhoto(row));
  const facts = writing.objectStore("settings");
  if (carried.vehicles !== null) {
    const here = ((await facts.get("vehicles")) as Vehicles | undefined) ?? NO_VEHICLES;
    const { vehicles, taken: brought } = withCarried(here, carried.vehicles);
    await facts.put(vehicles, "vehicles");
    taken.vehicles = brought;
  }
  if (carried.settings !== null && (await facts.get("settings")) === undefined) {
    // Whoever names the server gets this phone's secret: that is for the person to do, not for a file.
    await facts.put({ ...carried.settings, server: DEFAULTS.server }, "settings");
    taken.settings = true;
  }
  return taken;
}

/**
 * The sheet, unless one is begun here or its test is kept already; after the tests of the file. Another contributor's
 * becomes a test of this phone, so it gets an id of its own, and sharing it is decided here. id: that one; null: one's own.
 */
export async function takeSheet(writing: Writing, sheet: Draft | null, id: string | null): Promise<boolean> {
  if (sheet === null) return false;
  const drafts = writing.objectStore("drafts");
  const here = await drafts.get(SHEET);
  const isBegun = here !== undefined && (here.source !== null || here.runs.length > 0);
  if (isBegun || (await writing.objectStore("own_tests").getKey(sheet.id)) !== undefined) return false;
  await drafts.put(id === null ? sheet : { ...sheet, id, shared: false }, SHEET);
  return true;
}

/** The language, where none was chosen here; it is not in the storage that has transactions. */
export function takeLanguage(language: string | null): boolean {
  if (language === null || readLanguage() !== null) return false;
  saveLanguage(language);
  return true;
}

/** The sheet without the pictures that do not go along; what was read from them stays. */
export function withoutPhotos(sheet: Draft): Draft {
  return { ...sheet, photos: [], runs: sheet.runs.map((one) => ({ ...one, photo: null, marks: null })) };
}

/** A picture goes out after its test has, and that is for a person to decide. */
function unsentPhoto(row: PhotoRow): PhotoRow {
  return row.state === "waiting" ? { ...row, state: "private" } : row;
}

async function takePlan(writing: Writing, row: PlanRow): Promise<0 | 1> {
  const store = writing.objectStore("plans");
  const old = await store.get(row.source);
  if (old !== undefined && old.made_at >= row.made_at) return 0;
  await store.put(row);
  return 1;
}

async function takeNew(
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
