/**
 * Your own tubes. What changes is noted in the tube's history. A saved test keeps what was known of its tube when it was
 * made; `recompute.ts` computes it again, and only when the person asks for it.
 */

import { newId } from "../ids";
import type { TubeRow } from "../rows/tube";
import { type HeightCheck, type KnownSample, type TubeChange, type WeighedMark, wholeTube } from "../rows/tube";
import { announce } from "./changes";
import { keep } from "./keep";
import { run } from "./open";

/** What a person enters about a tube. */
export type TubeEntry = Pick<
  TubeRow,
  "name" | "scale" | "graduation" | "liquid" | "tolerance" | "water_mark" | "fuel_mark"
>;

/** In the order they were made; put-away ones last. */
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

/** A second tube of a name gets a number, so that the two can be told apart. */
function freeName(name: string, taken: readonly string[]): string {
  let free = name;
  for (let number = 2; taken.includes(free); number += 1) free = `${name} ${number}`;
  return free;
}

/** Changes what was entered, and leaves what was found out. */
export function editTube(id: string, entry: Partial<TubeEntry>, now: Date): Promise<void> {
  return changeTube(id, (row) => [{ ...row, ...entry }, entryChanges(row, { ...row, ...entry }, now)]);
}

/** A tube that is put away is not offered at tests; that changes nothing of what is known of it. */
export function putAway(id: string, put_away: boolean): Promise<void> {
  return changeTube(id, (row) => [{ ...row, put_away }, []]);
}

/** Takes a weighed mark in; an earlier weighing of the same mark gives way and stays in the history. */
export function keepWeighing(id: string, mark: WeighedMark): Promise<void> {
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

/** Notes a check of the scale; accepted: the tube has the kind of scale that the heights name from now on. */
export function keepScaleCheck(id: string, check: HeightCheck, accepted: boolean): Promise<void> {
  return changeTube(id, (row) => {
    const scale = accepted && check.kind !== "cannot_tell" ? check.kind : row.scale;
    const next = { ...row, scale, scale_checks: [...row.scale_checks, check] };
    const at = check.checked_at;
    return [next, [{ at, what: "scale_checked", check }, ...entryChanges(row, next, new Date(at))]];
  });
}

/** Takes an offset, in points with its expanded uncertainty, from a known sample. */
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

/** Notes that kept tests were computed again with what is known now. */
export function noteRecomputed(id: string, tests: number, now: Date): Promise<void> {
  return changeTube(id, (row) => [row, [{ at: now.toISOString(), what: "recomputed", tests }]]);
}

async function changeTube(id: string, step: (row: TubeRow) => [next: TubeRow, changes: TubeChange[]]): Promise<void> {
  await keep(["tubes"], async (writing) => {
    const old = await writing.objectStore("tubes").get(id);
    if (old === undefined) return;
    const [next, changes] = step(old);
    // The same act once more, after a connection that died behind it.
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
