/** Which stage of the sheet is open: the one to go on with, until the person opens another. */

import { useEffect, useState } from "preact/hooks";
import { firstOpen, type StageKey, stagesOf } from "../../model/progress";
import type { Draft } from "../../rows/draft";
import type { Change } from "./use-draft";

export interface Opened {
  /** null: the sheet is full. */
  opened: StageKey | null;
  open: (stage: StageKey) => void;
  /** Goes on after a stage that was done; without one, where the sheet has come to. */
  goOn: (after?: StageKey) => void;
  /** The person has moved on, so the page follows. */
  moved: boolean;
}

type Wanted = { stage: StageKey | null } | { after: StageKey | undefined };

/** The stage that was under way; a tube settles on its own, so what follows may be due by now. */
function startOf(draft: Draft): Wanted {
  const under = stagesOf(draft).find((key) => key === draft.at);
  return under === undefined || under.startsWith("settle") ? { after: undefined } : { stage: under };
}

export function useOpened(draft: Draft, change: Change): Opened {
  const [wanted, setWanted] = useState<Wanted>(() => startOf(draft));
  // A sheet that was begun earlier opens at the stage it had come to.
  const [moved, setMoved] = useState(draft.source !== null && !draft.corrects);
  const next = "stage" in wanted ? wanted.stage : (firstOpen(draft, Date.now(), wanted.after) ?? null);
  useEffect(() => {
    if (!("stage" in wanted)) setWanted({ stage: next });
  }, [wanted, next]);
  // An empty sheet is not worth keeping.
  useEffect(() => {
    if (draft.source !== null && draft.at !== next) change({ at: next });
  }, [draft, next, change]);
  const go = (to: Wanted) => {
    setMoved(true);
    setWanted(to);
  };
  const gone = next !== null && !stagesOf(draft).includes(next);
  return {
    opened: gone ? null : next,
    open: (stage) => go({ stage }),
    goOn: (after) => go({ after }),
    moved,
  };
}
