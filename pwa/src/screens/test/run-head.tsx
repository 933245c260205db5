/** Heading of one run, with the way to take it off the sheet. */

import { useState } from "preact/hooks";
import { labels } from "../../labels";
import { ConfirmDialog } from "../../parts/confirm-dialog";
import { dropPhoto } from "../../store/photos";
import type { Draft, DraftRun } from "../../store/schema";

export interface RunHeadProps {
  index: number;
  draft: Draft;
  /** Everything before it is filled in. */
  reached: boolean;
  onRuns: (runs: DraftRun[]) => void;
  onRemoved: () => void;
}

export function RunHead({ index, draft, reached, onRuns, onRemoved }: RunHeadProps) {
  const words = labels.test.run;
  const [asking, setAsking] = useState(false);
  const removable = draft.runs.length > 1 || (draft.runs[index]?.water ?? null) !== null;
  const remove = () => {
    setAsking(false);
    const left = draft.runs.filter((_, at) => at !== index);
    const photo = draft.runs[index]?.photo ?? null;
    if (photo !== null && left.every((run) => run.photo !== photo)) void dropPhoto(photo);
    onRuns(left);
    onRemoved();
  };
  return (
    <div class="run-head" data-reached={reached || undefined}>
      <h2 class="run-title">{words.heading(index + 1)}</h2>
      {removable && (
        <button type="button" class="plain small" onClick={() => setAsking(true)}>
          {words.removeShort}
          <span class="unseen">: {words.heading(index + 1)}</span>
        </button>
      )}
      <ConfirmDialog
        open={asking}
        title={words.removeAsk(index + 1)}
        act={words.remove}
        back={words.removeBack}
        onAct={remove}
        onBack={() => setAsking(false)}
      />
    </div>
  );
}
