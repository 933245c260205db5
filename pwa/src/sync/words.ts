/** The state of a record in plain words. */

import { labels } from "../i18n";
import type { SyncNote } from "../rows/test";

export function syncWords(note: SyncNote, retracted = false): string {
  const { states, retractedStates } = labels.log;
  if (!retracted) return states[note.state];
  if (note.state === "waiting") return retractedStates.waiting;
  if (note.state === "refused") return retractedStates.refused;
  return note.revision === null ? retractedStates.here : retractedStates.everywhere;
}
