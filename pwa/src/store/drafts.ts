/** The run sheet while it fills. */

import { newId } from "../ids";
import { announce } from "./changes";
import { run, write } from "./open";
import type { Draft, Settings } from "./schema";

export const SHEET = "run sheet";

export function loadDraft(): Promise<Draft | undefined> {
  return run((base) => base.get("drafts", SHEET));
}

/** Resolves when the entry is on the disk. */
export async function saveDraft(draft: Draft): Promise<void> {
  await write(["drafts"], (writing) => writing.objectStore("drafts").put(draft, SHEET), true);
  announce("drafts");
}

/** Throws the sheet away; keeping a test does it by itself. */
export async function dropDraft(): Promise<void> {
  await write(["drafts"], (writing) => writing.objectStore("drafts").delete(SHEET), true);
  announce("drafts");
}

/** An empty sheet, with what the settings say about every test. */
export function newDraft(settings: Settings, now: Date): Draft {
  return {
    id: newId(now.getTime()),
    started_at: now.toISOString(),
    source: null,
    sampled: null,
    sampled_at: null,
    tube: settings.tube,
    temperature: null,
    temperature_measured: false,
    fuel_water: settings.fuel_water,
    settle_minutes: settings.settle_minutes,
    runs: [],
    note: "",
    photos: [],
    shared: settings.share,
    cautions_read: false,
  };
}

/** True while a tube stands and settles: not the time to load the app again. */
export function isSettling(draft: Draft | undefined, now: Date): boolean {
  return draft?.runs.some((one) => one.settle_until !== null && one.settle_until > now.getTime()) ?? false;
}
