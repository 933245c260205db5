/** The run sheet in progress. */

import { newId } from "../ids";
import type { Draft } from "../rows/draft";
import type { Settings } from "../rows/settings";
import { announce } from "./changes";
import { keep } from "./keep";
import { representativeOf } from "./merges";
import { run } from "./open";
import { dropUnused } from "./photos";

export const SHEET = "run sheet";

/** The key of the sheet that corrects a saved test: separate from the run sheet, so that the two do not collide. */
export function correctionKey(test: string): string {
  return `correction ${test}`;
}

/** The sheet; if its source was merged meanwhile, it names the source that represents it. */
export async function loadDraft(key = SHEET): Promise<Draft | undefined> {
  return run(async (base) => {
    const reading = base.transaction(["drafts", "merged"]);
    const draft = await reading.objectStore("drafts").get(key);
    if (draft === undefined) return undefined;
    const source = draft.source && (await representativeOf(reading.objectStore("merged"), draft.source));
    return { ...draft, source, runs: draft.runs.map((one) => ({ ...LATER, ...one })) };
  });
}

/** Fields missing from a run on a sheet of an earlier version. */
const LATER = { line_half_width: null, marks: null, photo: null };

/** Resolves when the entry is on the disk. Once the sheet's test is saved, later entries are not written. */
export async function saveDraft(draft: Draft, key = SHEET): Promise<void> {
  await keep(["drafts", "own_tests"], async (writing) => {
    const isKept = (await writing.objectStore("own_tests").getKey(draft.id)) !== undefined;
    if (isKept && draft.corrects === undefined) return;
    await writing.objectStore("drafts").put(draft, key);
  });
  announce("drafts");
}

/** Discards the sheet and its pictures; saving a test deletes its sheet anyway. */
export async function dropDraft(key = SHEET): Promise<void> {
  await keep(["drafts", "photos", "own_tests"], async (writing) => {
    const draft = await writing.objectStore("drafts").get(key);
    await writing.objectStore("drafts").delete(key);
    for (const digest of draft?.photos ?? []) await dropUnused(writing, digest);
  });
  announce("drafts", "photos");
}

/** An empty sheet, with the settings that apply to every test. id: of the test it becomes. */
export function newDraft(settings: Settings, now: Date, id = newId(now.getTime())): Draft {
  return {
    id,
    started_at: now.toISOString(),
    source: null,
    sampled: settings.sampled,
    sampled_at: null,
    tube: settings.tube,
    temperature: null,
    temperature_measured: false,
    fuel_water: settings.fuel_water,
    settle_minutes: settings.settle_minutes,
    runs: [],
    note: "",
    photos: [],
    shared: settings.share === true,
    cautions_read: false,
  };
}

/** The runs whose tube is settling and whose line is not read yet: index, and when the time is up (ms since 1970). */
export function settlingTubes(draft: Draft | undefined): { index: number; until: number }[] {
  return (draft?.runs ?? []).flatMap(({ settle_until, line, percent }, index) =>
    settle_until === null || line !== null || percent !== null ? [] : [{ index, until: settle_until }],
  );
}

const MINUTE = 60_000;

/** Shifts every time on the sheet that came from the phone's clock, after the clock was set by this many ms. */
export function movedBy(draft: Draft, by: number): Pick<Draft, "started_at" | "runs"> {
  const started_at = new Date(Date.parse(draft.started_at) + by).toISOString();
  const moved = (at: number | null | undefined) => (at == null ? null : at + by);
  const runs = draft.runs.map((one) => ({
    ...one,
    settle_until: moved(one.settle_until),
    shaken_at: moved(one.shaken_at),
    read_at: moved(one.read_at),
  }));
  return { started_at, runs };
}

/**
 * The sheet, with no tube settling for longer than the full time: the clock was set back while the page was closed. How
 * long such a tube has settled is unknown, so it starts again.
 */
export function countable(draft: Draft, now: number): Draft {
  const latest = now + draft.settle_minutes * MINUTE;
  const isLater = ({ settle_until }: Draft["runs"][number]) => settle_until !== null && settle_until > latest;
  if (!draft.runs.some(isLater)) return draft;
  return { ...draft, runs: draft.runs.map((one) => (isLater(one) ? { ...one, settle_until: latest } : one)) };
}

/** The same on the disk, if the sheet is not on the screen. If `change` returns it unchanged, nothing is written. */
export async function changeDraft(change: (draft: Draft) => Draft, key = SHEET): Promise<void> {
  const changed = await keep(["drafts"], async (writing) => {
    const drafts = writing.objectStore("drafts");
    const old = await drafts.get(key);
    const next = old && change(old);
    if (next === undefined || next === old) return false;
    await drafts.put(next, key);
    return true;
  });
  if (changed) announce("drafts");
}

/** True while a tube is settling: not the time to reload the app. */
export function isSettling(draft: Draft | undefined, now: Date): boolean {
  return draft?.runs.some((one) => one.settle_until !== null && one.settle_until > now.getTime()) ?? false;
}
