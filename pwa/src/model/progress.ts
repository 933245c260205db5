/** The progress of a run sheet: its stages, which of them are complete, and where to continue. */

import type { Draft, DraftRun } from "../rows/draft";
import type { TubeRow } from "../rows/tube";

export type RunStage = "fill" | "shake" | "settle" | "line";
export type StageKey = "source" | "tube" | "before" | `${RunStage}${number}`;

export const RUN_STAGES: readonly RunStage[] = ["fill", "shake", "settle", "line"];
export const MOST_RUNS = 9;

export const EMPTY_RUN: DraftRun = {
  water: null,
  fuel: null,
  shaken: false,
  settle_until: null,
  line: null,
  percent: null,
  top: null,
  line_half_width: null,
  marks: null,
  photo: null,
  shaken_at: null,
  read_at: null,
  temperature: null,
  tube: null,
  confirmed: false,
};

/** Stages that can still be corrected once a test is saved: nothing is poured, shaken or waited for. */
const CORRECTABLE: readonly RunStage[] = ["fill", "line"];

/** All stages of the sheet in order; a sheet without a run shows those of the first. */
export function stagesOf(draft: Draft): StageKey[] {
  const runs = Math.max(1, draft.runs.length);
  const each = draft.corrects ? CORRECTABLE : RUN_STAGES;
  const ofRuns = Array.from({ length: runs }, (_, index) => each.map((stage): StageKey => `${stage}${index}`));
  return ["source", "tube", ...(draft.corrects ? [] : ["before" as const]), ...ofRuns.flat()];
}

/** now: ms since 1970. */
export function isComplete(key: StageKey, draft: Draft, now: number): boolean {
  if (key === "source") return draft.source !== null && draft.sampled !== null;
  if (key === "tube") return draft.tube !== null && hasTemperature(draft);
  if (key === "before") return draft.cautions_read;
  const run = draft.runs[runIndex(key)];
  if (!run) return false;
  if (key.startsWith("fill")) return run.water !== null && run.fuel !== null;
  if (key.startsWith("shake")) return run.shaken;
  if (key.startsWith("settle")) return run.settle_until !== null && run.settle_until <= now;
  return isRead(run);
}

/** The water's temperature is known or, on a sheet of an earlier version, the one for everything. */
export function hasTemperature({ temperature, water_temperature = null }: Draft): boolean {
  return temperature !== null || water_temperature !== null;
}

/** The tube used for a run. */
export function tubeOf(draft: Draft, run: DraftRun, tubes: readonly TubeRow[]): TubeRow | undefined {
  return tubes.find(({ id }) => id === (run.tube ?? draft.tube));
}

/**
 * The stage to continue with; undefined when the sheet is complete. A run continues until its tube is settling. A
 * settling tube is waited for only if there is nothing else to do; of several, the first to be ready. after: the stage
 * just done.
 */
export function firstOpen(draft: Draft, now: number, after?: StageKey): StageKey | undefined {
  const reached = reachable(draft, now);
  const [first] = reached;
  if (first === undefined || !isOfRun(first)) return first;
  const ready = reached.filter((key) => !isSettlingStage(key, draft, now));
  const same = ready.find((key) => after !== undefined && isOfRun(after) && runIndex(key) === runIndex(after));
  return same ?? ready[0] ?? reached.sort((a, b) => endOf(a, draft) - endOf(b, draft))[0];
}

/** What can be done now: whatever comes before the runs, or else the next stage of every incomplete run. */
export function reachable(draft: Draft, now: number): StageKey[] {
  const open = stagesOf(draft).filter((key) => !isComplete(key, draft, now));
  const [first] = open;
  if (first === undefined || !isOfRun(first)) return first === undefined ? [] : [first];
  return open.filter((key, index) => open.findIndex((other) => runIndex(other) === runIndex(key)) === index);
}

/** The tube of this run is settling and its time is not up. */
export function isSettlingStage(key: StageKey, draft: Draft, now: number): boolean {
  return key.startsWith("settle") && endOf(key, draft) > now;
}

function endOf(key: StageKey, draft: Draft): number {
  return draft.runs[runIndex(key)]?.settle_until ?? 0;
}

export function isOfRun(key: StageKey): boolean {
  return /\d$/.test(key);
}

export function runIndex(key: StageKey): number {
  return Number(key.replace(/^\D+/, ""));
}

/**
 * Number of the run that may start in a second tube while the last one settles; null if there is none. What was found
 * out about one tube (weighed marks, an offset) does not apply to another.
 */
export function besideOf(draft: Draft, tube: TubeRow, index: number): number | null {
  const isAlike = tube.calibration.length === 0 && tube.offset === 0;
  const isLast = index === draft.runs.length - 1;
  return isAlike && isLast && draft.runs.length < MOST_RUNS ? draft.runs.length + 1 : null;
}

/** The person has confirmed this reading; one that was only entered when the phone died does not count. */
export function isRead(run: DraftRun): boolean {
  return (run.line !== null || run.percent !== null) && run.confirmed !== false;
}

/**
 * Changes one run; the first entry of a sheet creates the first run. A changed filling discards the photo's marks, and
 * a changed filling or reading discards the reason why the run was set aside.
 */
export function withRun(runs: readonly DraftRun[], index: number, part: Partial<DraftRun>): DraftRun[] {
  const grown = runs.length > index ? [...runs] : [...runs, EMPTY_RUN];
  return grown.map((run, at) => {
    if (at !== index) return run;
    const reread = isOther(run, part, "line") || isOther(run, part, "percent");
    const next = { ...run, ...(reread && { confirmed: false }), ...part };
    const refilled = next.water !== run.water || next.fuel !== run.fuel;
    const { set_aside: _, ...anew } = next;
    const kept = refilled || reread ? anew : next;
    return refilled ? { ...kept, line_half_width: null, marks: null } : kept;
  });
}

function isOther(run: DraftRun, part: Partial<DraftRun>, name: "line" | "percent"): boolean {
  return part[name] !== undefined && part[name] !== run[name];
}

/** The volumes when both liquids are filled to the marks, mL. */
export function fillAtMarks(tube: TubeRow): { water: number; fuel: number } {
  return fillOf(tube.water_mark, tube.fuel_mark);
}

/** The volumes when water and fuel are filled to these graduations, mL. */
export function fillOf(waterAt: number, topAt: number): { water: number; fuel: number } {
  return { water: waterAt, fuel: Number((topAt - waterAt).toFixed(6)) };
}

/** The level of the fuel in the filled tube, mL. */
export function topOfFill(run: DraftRun): number | null {
  return run.water === null || run.fuel === null ? null : topAfter(run.water, run.fuel);
}

export interface Readable {
  /** The ends of the line's possible range, in mL or printed %. */
  low: number;
  high: number;
  /** Share of the filled height below the low end. */
  below: number;
}

/** The part of the scale where the line can be. */
export function readable(tube: TubeRow, run: DraftRun): Readable {
  const { water, fuel } = filled(tube, run);
  const below = water / (water + fuel);
  return tube.scale === "volume" ? { low: water, high: topAfter(water, fuel), below } : { low: 0, high: 100, below };
}

/** The fuel's top may be read a little above the filling, by at most 5 % (chemistry/limits). */
export function highestTop(tube: TubeRow, run: DraftRun): number {
  const { water, fuel } = filled(tube, run);
  return topAfter(0, 1.05 * (water + fuel));
}

function filled(tube: TubeRow, run: DraftRun): { water: number; fuel: number } {
  const atMarks = fillAtMarks(tube);
  return { water: run.water ?? atMarks.water, fuel: run.fuel ?? atMarks.fuel };
}

/** Rounded, without binary floating-point noise, so that it can be shown and compared. */
function topAfter(water: number, fuel: number): number {
  return Number((water + fuel).toFixed(6));
}
