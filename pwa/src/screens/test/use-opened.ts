/** Which stage of the sheet is open: the next one to do, until the person opens another. */

import { useEffect, useState } from "preact/hooks";
import { firstOpen, type StageKey, stagesOf } from "../../model/progress";
import type { Draft } from "../../rows/draft";
import type { Change } from "./use-draft";

export interface Opened {
  /** null: the sheet is complete. */
  opened: StageKey | null;
  open: (stage: StageKey) => void;
  /** Continues after a stage that was done, or at the first open one. */
  goOn: (after?: StageKey) => void;
  /** The person has moved on, so the page scrolls along. */
  moved: boolean;
}

type Wanted = { stage: StageKey | null } | { after: StageKey | undefined };

/** The stage in progress; a tube settles on its own, so the next stage may be ready by now. */
function startOf(draft: Draft): Wanted {
  const under = stagesOf(draft).find((key) => key === draft.at);
  return under === undefined || under.startsWith("settle") ? { after: undefined } : { stage: under };
}

export function useOpened(draft: Draft, change: Change): Opened {
  const [wanted, setWanted] = useState<Wanted>(() => startOf(draft));
  // A sheet started earlier opens at its current stage.
  const [moved, setMoved] = useState(draft.source !== null && !draft.corrects);
  const next = "stage" in wanted ? wanted.stage : (firstOpen(draft, Date.now(), wanted.after) ?? null);
  useEffect(() => {
    if (!("stage" in wanted)) setWanted({ stage: next });
  }, [wanted, next]);
  // An empty sheet is not worth saving.
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
