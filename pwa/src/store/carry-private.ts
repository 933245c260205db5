/** What never leaves a phone but in a log file: plans, cans, the tank, settings, and pictures where they are asked for. */

import type { PlanRow } from "./plan-row";
import type { CanRow, PhotoRow, Place, Settings, Tank, Writing } from "./schema";
import { DEFAULTS } from "./settings";

export interface Private {
  plans: PlanRow[];
  cans: CanRow[];
  tank: Tank | null;
  /** Those that were ever changed. */
  settings: Partial<Settings> | null;
  photos: PhotoRow[];
}

export interface PrivateTaken {
  plans: number;
  cans: number;
  tank: boolean;
  settings: boolean;
  photos: number;
}

export const PRIVATE_PLACES = ["plans", "cans", "photos", "settings"] as const satisfies Place[];

/** Everything that is not here yet; a later plan or tank takes the place of an earlier one, settings only where none are. */
export async function takePrivate(writing: Writing, carried: Private): Promise<PrivateTaken> {
  const taken: PrivateTaken = { plans: 0, cans: 0, tank: false, settings: false, photos: 0 };
  for (const row of carried.plans) taken.plans += await takePlan(writing, row);
  for (const row of carried.cans) taken.cans += await takeNew(writing, "cans", row.id, row);
  for (const row of carried.photos) taken.photos += await takeNew(writing, "photos", row.digest, row);
  const facts = writing.objectStore("settings");
  const tank = (await facts.get("tank")) as Tank | undefined;
  if (carried.tank !== null && (tank === undefined || tank.changed_at < carried.tank.changed_at)) {
    await facts.put(carried.tank, "tank");
    taken.tank = true;
  }
  if (carried.settings !== null && (await facts.get("settings")) === undefined) {
    // Whoever names the server gets this phone's secret: that is for the person to do, not for a file.
    await facts.put({ ...carried.settings, server: DEFAULTS.server }, "settings");
    taken.settings = true;
  }
  return taken;
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
  place: "cans" | "photos",
  key: string,
  row: CanRow | PhotoRow,
): Promise<0 | 1> {
  const store = writing.objectStore(place);
  if ((await store.getKey(key)) !== undefined) return 0;
  await store.put(row as CanRow & PhotoRow);
  return 1;
}
