/**
 * What a pull says about sources of one's own: withheld or back, a change that waits, was confirmed or was refused.
 *
 * Once others have tested at a source, the server lets its author change little alone; the rest waits for a moderator.
 */

import type { Problem, SourceChange } from "../records";
import type { SourceRow } from "../rows/source";
import type { SyncNote } from "../rows/test";

/** What the server has to say about a change of a source that it has not made. */
export const OF_CHANGE: readonly string[] = ["change_waits", "change_refused"];

/** A source of one's own as the server has it now, where the phone has no later revision of it to send. */
export function takenOver(old: SourceRow | undefined, change: SourceChange): SyncNote {
  const sent: SyncNote = { state: "sent", problems: [], revision: change.revision, answered_at: null };
  const sync = old?.sync ?? sent;
  const problems = [...change.flags.filter((code) => OF_CHANGE.includes(code)).map(blank), ...others(sync)];
  return sync.state === "held" ? { ...sync, state: "sent", problems } : { ...sync, problems };
}

/**
 * What becomes of a source whose own revision is later than the server's: a refused one gives way to what stands on the
 * server, under a revision that is later still, so that the next change counts as one. Else it stays.
 */
export function afterRefusal(old: SourceRow, change: SourceChange): SourceRow {
  const { record, flags } = change;
  if (record === null || old.sync?.state !== "held" || !flags.includes("change_refused")) return old;
  const { kind: _, ...fields } = record;
  const known = old.sync.problems.find((problem) => problem.code === "change_refused");
  const sync: SyncNote = { ...old.sync, state: "sent", problems: [known ?? blank("change_refused")] };
  return { ...old, ...fields, recorded_at: old.recorded_at, revision: old.revision + 1, sync };
}

/** A source of one's own that the server gives out no more: withheld, unless it was merged or taken back. */
export function withheld(old: SourceRow, change: SourceChange): SourceRow {
  if (!old.own || old.sync?.state !== "sent" || change.state !== "withheld" || change.retracted) return old;
  return { ...old, sync: { ...old.sync, state: "held", problems: change.flags.map(blank) } };
}

function others({ state, problems }: SyncNote): Problem[] {
  return state === "held" ? [] : problems.filter((problem) => !OF_CHANGE.includes(problem.code));
}

/** A pull brings codes only. */
function blank(code: string): Problem {
  return { code, field: "", value: "", limit: "", sentence: "" };
}
