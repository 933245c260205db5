/**
 * The person's own tubes. Changes are recorded in the tube's history. A saved test keeps the tube data of its time;
 * `recompute.ts` recomputes it, but only when the person asks.
 */

import { newId } from "../ids";
import type { TubeRow } from "../rows/tube";
import { type HeightCheck, type KnownSample, type TubeChange, type WeighedMark, wholeTube } from "../rows/tube";
import { announce } from "./changes";
import { keep } from "./keep";
import { run } from "./open";

/** A person's entries about a tube. */
export type TubeEntry = Pick<
  TubeRow,
  "name" | "scale" | "graduation" | "liquid" | "tolerance" | "water_mark" | "fuel_mark"
>;

/** In the order they were created; retired ones last. */
export function listTubes(): Promise<TubeRow[]> {
  return run(async (base) => {
    const rows = await base.getAll("tubes");
    return rows.sort(
      (a, b) => Number(a.put_away) - Number(b.put_away) || Date.parse(a.made_at) - Date.parse(b.made_at),
    );
  });
}

export function readTube(id: string): Promise<TubeRow | undefined> {
  return run((base) => base.get("tubes", id));
}

export async function addTube(entry: TubeEntry, now: Date): Promise<TubeRow> {
  const names = (await listTubes()).map((one) => one.name);
  const name = freeName(entry.name, names);
  const row = wholeTube({ ...entry, name, id: newId(now.getTime()), made_at: now.toISOString(), put_away: false });
  await keep(["tubes"], (writing) => writing.objectStore("tubes").add(row));
  announce("tubes");
  return row;
}

/** A second tube with the same name gets a number. */
function freeName(name: string, taken: readonly string[]): string {
  let free = name;
  for (let number = 2; taken.includes(free); number += 1) free = `${name} ${number}`;
  return free;
}

/** Changes the entries, and leaves the findings. */
export function editTube(id: string, entry: Partial<TubeEntry>, now: Date): Promise<void> {
  return changeTube(id, (row) => [{ ...row, ...entry }, entryChanges(row, { ...row, ...entry }, now)]);
}

/** A retired tube is not offered for tests; what is known about it stays. */
export function putAway(id: string, put_away: boolean): Promise<void> {
  return changeTube(id, (row) => [{ ...row, put_away }, []]);
}

/** Saves a weighed mark; an earlier weighing of the same mark is replaced but stays in the history. */
export function saveWeighing(id: string, mark: WeighedMark): Promise<void> {
  return changeTube(id, (row) => {
    const others = row.calibration.filter((one) => one.nominal !== mark.nominal);
    const calibration = [...others, mark].sort((a, b) => a.nominal - b.nominal);
    return [{ ...row, calibration }, [{ at: mark.weighed_at, what: "weighed", mark }]];
  });
}

export function dropWeighing(id: string, nominal: number, now: Date): Promise<void> {
  return changeTube(id, (row) => {
    const calibration = row.calibration.filter((one) => one.nominal !== nominal);
    const gone = row.calibration.filter((one) => one.nominal === nominal);
    const at = now.toISOString();
    return [{ ...row, calibration }, gone.map((mark) => ({ at, what: "weighing_dropped", mark }))];
  });
}

/** Saves a check of the scale; accepted: the tube gets the kind of scale that the heights show. */
export function saveScaleCheck(id: string, check: HeightCheck, accepted: boolean): Promise<void> {
  return changeTube(id, (row) => {
    const scale = accepted && check.kind !== "cannot_tell" ? check.kind : row.scale;
    const next = { ...row, scale, scale_checks: [...row.scale_checks, check] };
    const at = check.checked_at;
    return [next, [{ at, what: "scale_checked", check }, ...entryChanges(row, next, new Date(at))]];
  });
}

/** Saves an offset, in points with its expanded uncertainty, from a known sample. */
export function takeOffset(id: string, sample: KnownSample, offset: number, offset_uncertainty: number): Promise<void> {
  return changeTube(id, (row) => [
    { ...row, sample, offset, offset_uncertainty, offset_content: sample.known },
    [{ at: sample.taken_at, what: "offset_taken", sample, offset, offset_uncertainty }],
  ]);
}

export function dropOffset(id: string, now: Date): Promise<void> {
  return changeTube(id, (row) => {
    const { sample, offset, offset_uncertainty } = row;
    const next = { ...row, sample: null, offset: 0, offset_uncertainty: 0, offset_content: null };
    const at = now.toISOString();
    return [next, sample === null ? [] : [{ at, what: "offset_dropped", sample, offset, offset_uncertainty }]];
  });
}

/** Records that saved tests were recomputed with current data. */
export function noteRecomputed(id: string, tests: number, now: Date): Promise<void> {
  return changeTube(id, (row) => [row, [{ at: now.toISOString(), what: "recomputed", tests }]]);
}

async function changeTube(id: string, step: (row: TubeRow) => [next: TubeRow, changes: TubeChange[]]): Promise<void> {
  await keep(["tubes"], async (writing) => {
    const old = await writing.objectStore("tubes").get(id);
    if (old === undefined) return;
    const [next, changes] = step(old);
    // The same action repeated, after the connection died behind it.
    const done = new Set(old.history.map((one) => JSON.stringify(one)));
    if (changes.some((one) => done.has(JSON.stringify(one)))) return;
    await writing.objectStore("tubes").put({ ...next, history: [...old.history, ...changes] });
  });
  announce("tubes");
}

const NUMBERS = ["graduation", "tolerance", "water_mark", "fuel_mark"] as const;

function entryChanges(old: TubeRow, next: TubeRow, now: Date): TubeChange[] {
  const at = now.toISOString();
  const changes: TubeChange[] = [];
  if (old.scale !== next.scale) changes.push({ at, what: "scale", before: old.scale, after: next.scale });
  if (old.liquid !== next.liquid) changes.push({ at, what: "liquid", before: old.liquid, after: next.liquid });
  for (const what of NUMBERS) {
    if (old[what] !== next[what]) changes.push({ at, what, before: old[what], after: next[what] });
  }
  return changes;
}
