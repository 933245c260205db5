/**
 * Applies what a pull says about the person's own sources: withheld or shown again, a change that waits, was confirmed
 * or was refused.
 *
 * Once others have tested at a source, its author alone can change little on the server; the rest waits for a
 * moderator.
 */

import type { Problem, SourceChange } from "../records";
import type { SourceRow } from "../rows/source";
import type { SyncNote } from "../rows/test";

/** The server's codes for a change of a source that it has not made. */
export const OF_CHANGE: readonly string[] = ["change_waits", "change_refused"];

/** The person's own source as the server has it now, unless the phone has a later revision to send. */
export function takenOver(old: SourceRow | undefined, change: SourceChange): SyncNote {
  const sent: SyncNote = { state: "sent", problems: [], revision: change.revision, answered_at: null };
  const sync = old?.sync ?? sent;
  const problems = [...change.flags.filter((code) => OF_CHANGE.includes(code)).map(blank), ...others(sync)];
  return sync.state === "held" ? { ...sync, state: "sent", problems } : { ...sync, problems };
}

/**
 * The result for a source whose revision here is later than the server's: if it was refused, the server's version
 * replaces it, under an even later revision so that the next change counts as new. Otherwise it stays.
 */
export function afterRefusal(old: SourceRow, change: SourceChange): SourceRow {
  const { record, flags } = change;
  if (record === null || old.sync?.state !== "held" || !flags.includes("change_refused")) return old;
  const { kind: _, ...fields } = record;
  const known = old.sync.problems.find((problem) => problem.code === "change_refused");
  const sync: SyncNote = { ...old.sync, state: "sent", problems: [known ?? blank("change_refused")] };
  return { ...old, ...fields, recorded_at: old.recorded_at, revision: old.revision + 1, sync };
}

/** The person's own source that the server no longer shows: withheld, unless it was merged or withdrawn. */
export function withheld(old: SourceRow, change: SourceChange): SourceRow {
  if (!old.own || old.sync?.state !== "sent" || change.state !== "withheld" || change.retracted) return old;
  return { ...old, sync: { ...old.sync, state: "held", problems: change.flags.map(blank) } };
}

function others({ state, problems }: SyncNote): Problem[] {
  return state === "held" ? [] : problems.filter((problem) => !OF_CHANGE.includes(problem.code));
}

/** A pull has only codes. */
function blank(code: string): Problem {
  return { code, field: "", value: "", limit: "", sentence: "" };
}
