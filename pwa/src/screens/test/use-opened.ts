/** Which stage of the sheet is open: the one to go on with, until the person opens another. */

import { useEffect, useState } from "preact/hooks";
import type { Draft } from "../../store/schema";
import { firstOpen, type StageKey, stagesOf } from "./progress";

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

export function useOpened(draft: Draft): Opened {
  const [wanted, setWanted] = useState<Wanted>({ after: undefined });
  // A sheet that was begun earlier opens at the stage it had come to.
  const [moved, setMoved] = useState(draft.source !== null && !draft.corrects);
  const next = "stage" in wanted ? wanted.stage : (firstOpen(draft, Date.now(), wanted.after) ?? null);
  useEffect(() => {
    if (!("stage" in wanted)) setWanted({ stage: next });
  }, [wanted, next]);
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
