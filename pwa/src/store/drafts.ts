/** The run sheet while it fills. */

import { newId } from "../ids";
import type { Draft } from "../rows/draft";
import type { Settings } from "../rows/settings";
import { announce } from "./changes";
import { keep } from "./keep";
import { standsFor } from "./merges";
import { run } from "./open";
import { dropUnused } from "./photos";

export const SHEET = "run sheet";

/** Where the sheet lies that corrects a saved test: beside the run sheet, so that neither is in the other's way. */
export function correctionKey(test: string): string {
  return `correction ${test}`;
}

/** The sheet; a source that was merged meanwhile is the one that stands for it. */
export async function loadDraft(key = SHEET): Promise<Draft | undefined> {
  return run(async (base) => {
    const reading = base.transaction(["drafts", "merged"]);
    const draft = await reading.objectStore("drafts").get(key);
    if (draft === undefined) return undefined;
    const source = draft.source && (await standsFor(reading.objectStore("merged"), draft.source));
    return { ...draft, source, runs: draft.runs.map((one) => ({ ...LATER, ...one })) };
  });
}

/** Fields that a run on a sheet of an earlier version lacks. */
const LATER = { line_half_width: null, marks: null, photo: null };

/** Resolves when the entry is on the disk. A sheet whose test is kept is over: what comes after that is not written. */
export async function saveDraft(draft: Draft, key = SHEET): Promise<void> {
  await keep(["drafts", "own_tests"], async (writing) => {
    const isKept = (await writing.objectStore("own_tests").getKey(draft.id)) !== undefined;
    if (isKept && draft.corrects === undefined) return;
    await writing.objectStore("drafts").put(draft, key);
  });
  announce("drafts");
}

/** Throws the sheet and its pictures away; keeping a test ends its sheet by itself. */
export async function dropDraft(key = SHEET): Promise<void> {
  await keep(["drafts", "photos", "own_tests"], async (writing) => {
    const draft = await writing.objectStore("drafts").get(key);
    await writing.objectStore("drafts").delete(key);
    for (const digest of draft?.photos ?? []) await dropUnused(writing, digest);
  });
  announce("drafts", "photos");
}

/** An empty sheet, with what the settings say about every test. id: of the test that it becomes. */
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

/** The runs whose tube stands and whose line is not read yet: which one, and when its time is up (ms since 1970). */
export function standingTubes(draft: Draft | undefined): { index: number; until: number }[] {
  return (draft?.runs ?? []).flatMap(({ settle_until, line, percent }, index) =>
    settle_until === null || line !== null || percent !== null ? [] : [{ index, until: settle_until }],
  );
}

const MINUTE = 60_000;

/** What moves along when the phone's clock is set by so many ms: everything that the clock itself wrote on the sheet. */
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
 * The sheet where no tube has longer to settle than the whole time: the clock was set back while the page was not
 * there. How long such a tube has stood is not known, so it begins anew.
 */
export function countable(draft: Draft, now: number): Draft {
  const latest = now + draft.settle_minutes * MINUTE;
  const isLater = ({ settle_until }: Draft["runs"][number]) => settle_until !== null && settle_until > latest;
  if (!draft.runs.some(isLater)) return draft;
  return { ...draft, runs: draft.runs.map((one) => (isLater(one) ? { ...one, settle_until: latest } : one)) };
}

/** The same on the disk, for when the sheet is not on the screen. What `change` gives back as it is, is left alone. */
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

/** True while a tube stands and settles: not the time to load the app again. */
export function isSettling(draft: Draft | undefined, now: Date): boolean {
  return draft?.runs.some((one) => one.settle_until !== null && one.settle_until > now.getTime()) ?? false;
}
